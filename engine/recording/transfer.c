/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/transfer.h"
#include "base/constants.h"
#include "base/gsl.h"
#include "recording/sweep_place.h"

#include <complex.h>
#include <gsl/gsl_fft_real.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Silence before and after a sweep goes into its transform, so that what rings on is in it and hum leaks less. Half the width of a
 * parabola is a hundredth of its frequency: across the peak of a coil of Q 10 it is then good to 1e-4. */
static const double margin_s = 0.15, half_width = 0.01;
enum { LEAST_BINS = 10, POOLED = 5, MOST_REPEATS = 20 };

/* Transforms of both channels around one repeat. */
typedef struct window {
    size_t size;
    double bin_hz;
    double *of, *reference; /* [size], GSL's order for real transforms of any length */
} window;

static complex double bin(const double *f, size_t k)
{
    return k == 0 ? f[0] : f[2 * k - 1] + I * f[2 * k];
}

/* GSL's mixed radix is fast for small factors alone. */
static size_t smooth_size(size_t n)
{
    for (;; n++) {
        size_t rest = n;
        while (rest % 2 == 0)
            rest /= 2;
        while (rest % 3 == 0)
            rest /= 3;
        while (rest % 5 == 0)
            rest /= 5;
        if (rest == 1 && n % 2 == 0)
            return n;
    }
}

/* Falls to nothing over the margins, and only there, since a sweep under a slope would be another sweep. */
static void taper(size_t size, size_t edge, double *v)
{
    for (size_t i = 0; i < edge; i++) {
        const double w = (1 - cos(LL_PI * ((double)i + 0.5) / (double)edge)) / 2;
        v[i] *= w;
        v[size - 1 - i] *= w;
    }
}

static ll_status transform(size_t size, double *v)
{
    gsl_fft_real_wavetable *table = gsl_fft_real_wavetable_alloc(size);
    gsl_fft_real_workspace *work = gsl_fft_real_workspace_alloc(size);
    const bool room = table && work;
    const bool failed = room && gsl_fft_real_transform(v, 1, size, table, work);
    if (table)
        gsl_fft_real_wavetable_free(table);
    if (work)
        gsl_fft_real_workspace_free(work);
    return !room ? LL_NO_MEMORY : failed ? LL_LIBRARY : LL_OK;
}

static ll_status load(const ll_recording *r, int channel, double frame, size_t edge, size_t size,
                      double *v)
{
    ll_recording_copy(r, channel, lround(frame) - (long)edge, size, v);
    taper(size, edge, v);
    return transform(size, v);
}

/* The least squares around one frequency: sums of |reference|^2 r^k, of of conj(reference) r^k, r from -1 to 1 over the bins. */
typedef struct parabola {
    double moment[5];
    double complex side[3];
    double complex coefficient[3];
    double
        first; /* of the inverse's diagonal: variance of the value at the middle per variance of a bin */
    double noise, power; /* left over per bin, and of the channel in all */
    size_t bins;
} parabola;

/* Symmetric 3 x 3, by cofactors; false when the reference is silent. */
static bool solve(parabola *p)
{
    const double *m = p->moment;
    const double a = m[2] * m[4] - m[3] * m[3], b = m[2] * m[3] - m[1] * m[4],
                 c = m[1] * m[3] - m[2] * m[2], d = m[0] * m[4] - m[2] * m[2],
                 e = m[1] * m[2] - m[0] * m[3], f = m[0] * m[2] - m[1] * m[1];
    const double determinant = m[0] * a + m[1] * b + m[2] * c;
    if (!(determinant > 1e-12 * m[0] * m[0] * m[0]))
        return false;
    const double complex *s = p->side;
    p->coefficient[0] = (a * s[0] + b * s[1] + c * s[2]) / determinant;
    p->coefficient[1] = (b * s[0] + d * s[1] + e * s[2]) / determinant;
    p->coefficient[2] = (c * s[0] + e * s[1] + f * s[2]) / determinant;
    p->first = a / determinant;
    return true;
}

static double complex left_over(const parabola *p, const window *w, size_t k, double r)
{
    const double complex h = p->coefficient[0] + r * (p->coefficient[1] + r * p->coefficient[2]);
    return bin(w->of, k) - h * bin(w->reference, k);
}

/* Over the bins within reach of the middle, without those where more than `limit` was left over before. */
static bool fit(const window *w, double middle, double reach, double limit, parabola *p)
{
    const parabola before = *p;
    *p = (parabola){0};
    for (size_t k = (size_t)ceil(fmax(middle - reach, 1)); (double)k <= middle + reach; k++) {
        if (2 * k + 1 >= w->size)
            break;
        const double r = ((double)k - middle) / reach;
        if (before.bins && cabs(left_over(&before, w, k, r)) > limit)
            continue;
        const double complex x = bin(w->reference, k), y = bin(w->of, k);
        double weight = creal(x) * creal(x) + cimag(x) * cimag(x), one = 1;
        for (int i = 0; i < 5; i++, one *= r)
            p->moment[i] += weight * one;
        one = 1;
        for (int i = 0; i < 3; i++, one *= r)
            p->side[i] += y * conj(x) * one;
        p->power += creal(y * conj(y));
        p->bins++;
    }
    return p->bins > 4 && solve(p);
}

static void leave_over(const window *w, double middle, double reach, double limit, parabola *p)
{
    double squares = 0;
    size_t bins = 0;
    for (size_t k = (size_t)ceil(fmax(middle - reach, 1)); (double)k <= middle + reach; k++) {
        if (2 * k + 1 >= w->size)
            break;
        const double left = cabs(left_over(p, w, k, ((double)k - middle) / reach));
        if (left > limit)
            continue;
        squares += left * left;
        bins++;
    }
    p->noise = bins > 3 ? squares / (double)(bins - 3) : 0;
}

/* Hum stands in few bins: they are left out once, where they stick out four times over the rest. */
static bool value_at(const window *w, double f_hz, parabola *p)
{
    const double middle = f_hz / w->bin_hz, reach = fmax(half_width * middle, LEAST_BINS);
    *p = (parabola){0};
    if (!fit(w, middle, reach, HUGE_VAL, p))
        return false;
    leave_over(w, middle, reach, HUGE_VAL, p);
    const double limit = 4 * sqrt(p->noise);
    parabola again = *p;
    if (fit(w, middle, reach, limit, &again)) {
        *p = again;
        leave_over(w, middle, reach, limit, p);
    }
    return true;
}

/* One repeat's values, their variances (of the complex value) and coherences. */
typedef struct estimate {
    double complex *value;        /* [repeats][n] */
    double *variance, *coherence; /* [repeats][n] */
} estimate;

static ll_status take_repeat(const window *w, size_t n, const double *f_hz, double complex *value,
                             double *variance, double *coherence)
{
    for (size_t i = 0; i < n; i++) {
        parabola p;
        if (!value_at(w, f_hz[i], &p))
            return LL_NO_SIGNAL;
        value[i] = p.coefficient[0];
        variance[i] = p.noise * p.first;
        const double bins = (double)p.bins;
        coherence[i] = p.power > 0 ? fmax(0, 1 - p.noise * bins / p.power) : 0;
    }
    return LL_OK;
}

static ll_status take_repeats(const ll_recording *r, int of, int reference,
                              const ll_sweep_signal *signal, const double *frame, size_t n,
                              const double *f_hz, estimate *e)
{
    const double rate_hz = ll_recording_rate_hz(r);
    const size_t edge = (size_t)lround(margin_s * rate_hz);
    window w = {.size = smooth_size((size_t)lround(signal->sweep_s * rate_hz) + 2 * edge)};
    w.bin_hz = rate_hz / (double)w.size;
    w.of = malloc(w.size * sizeof(double));
    w.reference = malloc(w.size * sizeof(double));
    ll_status status = w.of && w.reference ? LL_OK : LL_NO_MEMORY;
    for (int k = 0; k < signal->repeats && !status; k++) {
        const size_t row = (size_t)k * n;
        status = load(r, of, frame[k], edge, w.size, w.of);
        if (!status)
            status = load(r, reference, frame[k], edge, w.size, w.reference);
        if (!status)
            status =
                take_repeat(&w, n, f_hz, e->value + row, e->variance + row, e->coherence + row);
    }
    free(w.of);
    free(w.reference);
    return status;
}

/* How far repeats scatter about their mean at point i: variance of one repeat's complex value. */
static double scatter(const estimate *e, int repeats, size_t n, size_t i)
{
    double complex mean = 0;
    double squares = 0;
    for (int k = 0; k < repeats; k++)
        mean += e->value[(size_t)k * n + i] / repeats;
    for (int k = 0; k < repeats; k++) {
        const double d = cabs(e->value[(size_t)k * n + i] - mean);
        squares += d * d;
    }
    return squares / (repeats - 1);
}

/* Few repeats tell little of their scatter, so it is pooled with the neighbours', each measured by its own noise. */
static double excess(const estimate *e, int repeats, size_t n, size_t i)
{
    double ratio = 0, count = 0;
    for (size_t k = i > POOLED ? i - POOLED : 0; k <= i + POOLED && k < n; k++) {
        double noise = 0;
        for (int j = 0; j < repeats; j++)
            noise += e->variance[(size_t)j * n + k] / repeats;
        if (noise > 0) {
            ratio += scatter(e, repeats, n, k) / noise;
            count++;
        }
    }
    return count > 0 ? fmax(1, ratio / count) : 1;
}

static void join(const estimate *e, int repeats, size_t n, const double *f_hz,
                 ll_transfer_point *point)
{
    for (size_t i = 0; i < n; i++) {
        double complex value = 0;
        double variance = 0, coherence = 0;
        for (int k = 0; k < repeats; k++) {
            const size_t at = (size_t)k * n + i;
            value += e->value[at] / repeats;
            variance += e->variance[at] / repeats / repeats;
            coherence += e->coherence[at] / repeats;
        }
        if (repeats > 1)
            variance *= excess(e, repeats, n, i);
        point[i] =
            (ll_transfer_point){f_hz[i], creal(value), cimag(value), sqrt(variance / 2), coherence};
    }
}

static bool frequencies_are_swept(const ll_sweep_signal *s, size_t n, const double *f_hz)
{
    for (size_t i = 0; i < n; i++)
        if (!(f_hz[i] >= s->from_hz && f_hz[i] <= s->to_hz))
            return false;
    return n > 0;
}

ll_status ll_transfer(const ll_recording *recording, int of, int reference,
                      const ll_sweep_signal *signal, size_t n, const double *f_hz,
                      ll_transfer_point *point, ll_transfer_facts *facts)
{
    double frame[MOST_REPEATS], likeness;
    estimate e = {0};
    if (of < 0 || of >= ll_recording_channels(recording) || !frequencies_are_swept(signal, n, f_hz))
        return LL_BAD_VALUE;
    ll_status status = ll_sweep_place(recording, reference, signal, frame, &likeness);
    if (!status) {
        const size_t points = (size_t)signal->repeats * n;
        e = (estimate){calloc(points, sizeof *e.value), calloc(points, sizeof *e.variance),
                       calloc(points, sizeof *e.coherence)};
        status = e.value && e.variance && e.coherence ? LL_OK : LL_NO_MEMORY;
    }
    if (!status)
        status = take_repeats(recording, of, reference, signal, frame, n, f_hz, &e);
    if (!status)
        join(&e, signal->repeats, n, f_hz, point);
    if (!status && facts) {
        const int last = signal->repeats - 1;
        const double told =
            last * (signal->sweep_s + signal->rest_s) * ll_recording_rate_hz(recording);
        *facts = (ll_transfer_facts){last > 0 ? (frame[last] - frame[0]) / told - 1 : 0, likeness};
    }
    free(e.value);
    free(e.variance);
    free(e.coherence);
    return status;
}
