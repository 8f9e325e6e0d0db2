/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "signal/spectrum.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/gsl.h"
#include "signal/window.h"

#include <complex.h>
#include <gsl/gsl_fft_real.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

enum { LEAST_SAMPLES = 16 };

double ll_peak_level(size_t n, const double *samples)
{
    double peak = 0;
    for (size_t i = 0; i < n; i++)
        peak = fmax(peak, fabs(samples[i]));
    return peak;
}

double ll_rms_level(size_t n, const double *samples)
{
    double squares = 0;
    for (size_t i = 0; i < n; i++)
        squares += samples[i] * samples[i];
    return n ? sqrt(squares / (double)n) : 0;
}

/* The samples under the window, scaled so that a tone's transform is its amplitude; NULL without memory. */
static double *windowed(size_t n, size_t room, const double *samples)
{
    double *out = calloc(room, sizeof *out);
    if (!out)
        return NULL;
    const double scale = 2 / ((double)n * LL_WINDOW_MEAN);
    for (size_t i = 0; i < n; i++)
        out[i] = scale * ll_window(i, n) * samples[i];
    return out;
}

/* Magnitude of the transform at one frequency, the phase turned on from sample to sample. */
static double project(size_t n, const double *samples, double cycles_per_sample)
{
    const double complex turn = cexp(-2 * LL_PI * I * cycles_per_sample);
    double complex phase = 1, sum = 0;
    for (size_t i = 0; i < n; i++) {
        sum += samples[i] * phase;
        phase *= turn;
    }
    return cabs(sum);
}

ll_status ll_tone_levels(size_t n, const double *samples, double rate_hz, size_t tones,
                         const double *frequency_hz, double *amplitude)
{
    if (n < LEAST_SAMPLES || !ll_all_finite(n, samples))
        return LL_BAD_VALUE;
    for (size_t k = 0; k < tones; k++)
        if (!(frequency_hz[k] > 0 && frequency_hz[k] < rate_hz / 2))
            return LL_BAD_VALUE;
    double *under = windowed(n, n, samples);
    if (!under)
        return LL_NO_MEMORY;
    for (size_t k = 0; k < tones; k++)
        amplitude[k] = project(n, under, frequency_hz[k] / rate_hz);
    free(under);
    return LL_OK;
}

double ll_tone_resolution_hz(size_t n, double rate_hz)
{
    return 4 * rate_hz / (double)n;
}

static size_t power_of_two(size_t n)
{
    size_t size = 2;
    while (size < n)
        size *= 2;
    return size;
}

size_t ll_spectrum_bins(size_t n)
{
    return power_of_two(n) / 2 + 1;
}

ll_status ll_spectrum(size_t n, const double *samples, double *amplitude)
{
    if (n < LEAST_SAMPLES || !ll_all_finite(n, samples))
        return LL_BAD_VALUE;
    const size_t size = power_of_two(n);
    double *f = windowed(n, size, samples);
    if (!f)
        return LL_NO_MEMORY;
    if (gsl_fft_real_radix2_transform(f, 1, size)) {
        free(f);
        return LL_LIBRARY;
    }
    /* GSL's half-complex order: real parts forwards from 0, imaginary parts backwards from the end. The outermost bins
     * have no mirror image to share with. */
    amplitude[0] = fabs(f[0]) / 2;
    amplitude[size / 2] = fabs(f[size / 2]) / 2;
    for (size_t k = 1; k < size / 2; k++)
        amplitude[k] = hypot(f[k], f[size - k]);
    free(f);
    return LL_OK;
}
