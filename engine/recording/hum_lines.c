/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/hum_lines.h"
#include "base/constants.h"

#include <complex.h>
#include <math.h>
#include <stdlib.h>

/* LOBE: half the width of the window's main lobe, in steps of 1 / length. */
enum { STRONGEST = 5, STEPS = 40, REFINED = 3, LOBE = 4, BESIDE = 6 };
static const double reach = 0.01, heard_over = 8, least_s = 0.5;

typedef struct windowed {
    size_t n;
    double *v, rate_hz, gain;
} windowed;

static ll_status windowed_new(size_t n, const double *samples, double rate_hz, windowed *w)
{
    *w = (windowed){n, malloc((n + 1) * sizeof *w->v), rate_hz, 0};
    if (!w->v)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        const double x = 2 * LL_PI * ((double)i + 0.5) / (double)n;
        const double a = 0.35875 - 0.48829 * cos(x) + 0.14128 * cos(2 * x) - 0.01168 * cos(3 * x);
        w->v[i] = a * samples[i];
        w->gain += a;
    }
    return LL_OK;
}

/* Mean square of a sine at f_hz; the turning phasor is set right every so often. */
static double power_at(const windowed *w, double f_hz)
{
    enum { OFTEN = 1024 };
    const double step = 2 * LL_PI * f_hz / w->rate_hz;
    const double complex turn = cexp(-I * step);
    double complex sum = 0, phasor = 1;
    for (size_t i = 0; i < w->n; i++) {
        if (i % OFTEN == 0)
            phasor = cexp(-I * fmod(step * (double)i, 2 * LL_PI));
        sum += w->v[i] * phasor;
        phasor *= turn;
    }
    const double size = 2 * cabs(sum) / w->gain;
    return size * size / 2;
}

/* Lines count as their power: the strong ones decide where the mains are. */
static double power_of_lines(const windowed *w, double mains_hz, size_t lines)
{
    double sum = 0;
    for (size_t k = 1; k <= lines && k <= STRONGEST; k++)
        sum += power_at(w, mains_hz * (double)k);
    return sum;
}

/* Highest within reach, by ever finer steps. */
static double mains_of(const windowed *w, double near_hz, size_t lines)
{
    double middle = near_hz, half = reach * near_hz;
    for (int r = 0; r < REFINED; r++) {
        double best = middle, most = -1;
        const int steps = r ? 10 : STEPS;
        for (int i = 0; i <= steps; i++) {
            const double f = middle + half * (2.0 * i / steps - 1);
            const double power = power_of_lines(w, f, lines);
            best = power > most ? f : best;
            most = fmax(power, most);
        }
        middle = best;
        half *= 2.0 / steps;
    }
    return middle;
}

/* Noise on both sides of a line, out of reach of its lobe. */
static double noise_beside(const windowed *w, double f_hz)
{
    const double step = w->rate_hz / (double)w->n;
    double sum = 0;
    int count = 0;
    for (int i = -BESIDE; i <= BESIDE; i++) {
        const double f = f_hz + step * (i < 0 ? i - LOBE : i + LOBE);
        if (i == 0 || f < step)
            continue;
        sum += power_at(w, f);
        count++;
    }
    return count ? sum / count : 0;
}

/* With noise of mean power p beside it, a line's amplitude scatters by the root of p, its rms by that of p / 2. */
static ll_hum_line line_at(const windowed *w, double f_hz)
{
    const double power = power_at(w, f_hz), noise = noise_beside(w, f_hz);
    const bool heard = power > heard_over * noise && power > 0;
    return (ll_hum_line){f_hz, sqrt(heard ? fmax(power - noise, 0) : power), sqrt(noise / 2),
                         heard};
}

ll_status ll_hum_lines_find(size_t n, const double *samples, double rate_hz, double near_hz,
                            size_t lines, ll_hum_line *line, double *mains_hz)
{
    windowed w;
    if (!(rate_hz > 0) || !((double)n >= least_s * rate_hz) || !(near_hz > 20) || lines == 0 ||
        !((1 + reach) * near_hz * (double)lines < 0.45 * rate_hz))
        return LL_BAD_VALUE;
    for (size_t i = 0; i < n; i++)
        if (!isfinite(samples[i]))
            return LL_BAD_VALUE;
    const ll_status status = windowed_new(n, samples, rate_hz, &w);
    if (status)
        return status;
    const double mains = mains_of(&w, near_hz, lines);
    for (size_t k = 0; k < lines; k++)
        line[k] = line_at(&w, mains * (double)(k + 1));
    *mains_hz = mains;
    free(w.v);
    return LL_OK;
}
