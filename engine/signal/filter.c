/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/dense.h"
#include "base/gsl.h"
#include "signal/spectrum.h"

#include <gsl/gsl_fft_halfcomplex.h>
#include <gsl/gsl_fft_real.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* A transform and the response at its bins. */
typedef struct ll_pass {
    size_t size, bins;
    double *spectrum;            /* [size], half-complex */
    double *frequency, *re, *im; /* [bins] */
} ll_pass;

static ll_status pass_new(size_t n, ll_pass *p)
{
    *p = (ll_pass){.bins = ll_spectrum_bins(n)};
    p->size = 2 * (p->bins - 1);
    p->spectrum = calloc(p->size, sizeof(double));
    p->frequency = malloc(p->bins * sizeof(double));
    p->re = malloc(p->bins * sizeof(double));
    p->im = malloc(p->bins * sizeof(double));
    return p->spectrum && p->frequency && p->re && p->im ? LL_OK : LL_NO_MEMORY;
}

/* The highest bin of a real signal holds a real number: only the response's real part can pass there. */
static void multiply(ll_pass *p)
{
    double *s = p->spectrum;
    s[0] *= p->re[0];
    s[p->size / 2] *= p->re[p->bins - 1];
    for (size_t k = 1; k + 1 < p->bins; k++) {
        const double re = s[k], im = s[p->size - k];
        s[k] = re * p->re[k] - im * p->im[k];
        s[p->size - k] = re * p->im[k] + im * p->re[k];
    }
}

/* There, through, and back: linear convolution, since the padding is as long as the ringing. */
static ll_status run(ll_pass *p, double rate_hz, const ll_response *response)
{
    for (size_t k = 0; k < p->bins; k++)
        p->frequency[k] = rate_hz * (double)k / (double)p->size;
    const ll_status status = response->at(response->context, p->bins, p->frequency, p->re, p->im);
    if (status)
        return status;
    if (gsl_fft_real_radix2_transform(p->spectrum, 1, p->size))
        return LL_LIBRARY;
    multiply(p);
    return gsl_fft_halfcomplex_radix2_inverse(p->spectrum, 1, p->size) ? LL_LIBRARY : LL_OK;
}

ll_status ll_filter(size_t n, double *samples, double rate_hz, size_t tail,
                    const ll_response *response)
{
    if (!isfinite(rate_hz) || rate_hz <= 0 || !ll_all_finite(n, samples))
        return LL_BAD_VALUE;
    if (n == 0)
        return LL_OK;
    ll_pass pass;
    ll_status status = pass_new(n + tail, &pass);
    if (!status) {
        memcpy(pass.spectrum, samples, n * sizeof(double));
        status = run(&pass, rate_hz, response);
    }
    /* A response that is not a number somewhere spoils every sample. */
    if (!status && !ll_all_finite(n, pass.spectrum))
        status = LL_BAD_VALUE;
    if (!status)
        memcpy(samples, pass.spectrum, n * sizeof(double));
    free(pass.spectrum);
    free(pass.frequency);
    free(pass.re);
    free(pass.im);
    return status;
}
