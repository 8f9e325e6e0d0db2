/* spectrum.h - levels of a signal: peak, root mean square, tones, spectrum, and a signal through a frequency response.
 * SI units; a level has the unit of its samples. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_SPECTRUM_H
#define LL_SIGNAL_SPECTRUM_H

#include "base/api.h"
#include "base/status.h"
#include <stddef.h>

LL_API_BEGIN

/* Both are 0 for no samples. */
double ll_peak_level(size_t n, const double *samples);
double ll_rms_level(size_t n, const double *samples);

/* Amplitudes (peak values of sines) of the tones at frequency_hz[tones], by projection under a window of the Blackman-Harris
 * kind: another tone further off than ll_tone_resolution_hz leaks in by less than -90 dB. The amplitude of a decaying tone
 * is its mean under the window. LL_BAD_VALUE for fewer than 16 samples, samples that are not finite, or a frequency not
 * between 0 and half the rate. */
ll_status ll_tone_levels(size_t n, const double *samples, double rate_hz, size_t tones,
                         const double *frequency_hz, double *amplitude);

/* Half the width of the window's main lobe, 4 rate / n. */
double ll_tone_resolution_hz(size_t n, double rate_hz);

/* Bins of the spectrum of n samples: half the next power of two, and one. Bin k is at rate k / (2 (bins - 1)). */
size_t ll_spectrum_bins(size_t n);

/* Amplitudes under the same window, by fast Fourier transform, into amplitude[ll_spectrum_bins(n)]: a tone between two bins
 * shows up to 0.8 dB low. LL_BAD_VALUE as above, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_spectrum(size_t n, const double *samples, double *amplitude);

/* What a circuit does to each frequency: re[i] + j im[i] at frequency_hz[i]. Its status is handed on. */
typedef struct ll_response {
    ll_status (*at)(void *context, size_t n, const double *frequency_hz, double *re, double *im);
    void *context;
} ll_response;

/* Passes samples[n] through the response, in place. The response's own ringing beyond the end is cut off; tail is how many
 * samples of it are kept from folding back to the start. LL_LIBRARY, LL_NO_MEMORY, or what the response returns. */
ll_status ll_filter(size_t n, double *samples, double rate_hz, size_t tail,
                    const ll_response *response);

LL_API_END

#endif
