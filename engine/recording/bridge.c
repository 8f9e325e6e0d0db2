/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/bridge.h"
#include "base/constants.h"

#include <complex.h>
#include <math.h>
#include <stdbool.h>

/* A ratio freed from what the two channels differ by, and its standard deviation. */
typedef struct freed {
    double complex value;
    double sd;
} freed;

static freed free_from(const ll_transfer_point *ratio, const ll_transfer_point *alike)
{
    const double complex value = ratio->re + I * ratio->im;
    if (!alike)
        return (freed){value, ratio->sd};
    const double complex by = alike->re + I * alike->im;
    const double size = cabs(by);
    return (freed){value / by, hypot(ratio->sd / size, cabs(value) * alike->sd / (size * size))};
}

static bool points_fit(size_t n, const ll_transfer_point *ratio, const ll_transfer_point *alike)
{
    for (size_t i = 0; i < n; i++) {
        if (!(ratio[i].f_hz > 0) || !isfinite(ratio[i].re) || !isfinite(ratio[i].im))
            return false;
        if (alike && (alike[i].f_hz != ratio[i].f_hz || !(hypot(alike[i].re, alike[i].im) > 0)))
            return false;
    }
    return n > 0;
}

/* With m the ratio and Y what the input adds, Z = R m / (1 - m (1 + R Y)), and dZ/dm = R / (1 - m (1 + R Y))^2. */
ll_status ll_bridge_impedance(const ll_bridge *bridge, size_t n, const ll_transfer_point *ratio,
                              const ll_transfer_point *alike, ll_impedance_point *out)
{
    if (!(bridge->series_ohm > 0) || !points_fit(n, ratio, alike))
        return LL_BAD_VALUE;
    for (size_t i = 0; i < n; i++) {
        const double w = 2 * LL_PI * ratio[i].f_hz, ohm = bridge->series_ohm;
        const double complex input = bridge->input_s + I * w * bridge->input_f;
        const freed m = free_from(&ratio[i], alike ? &alike[i] : NULL);
        const double complex rest = 1 - m.value * (1 + ohm * input), z = ohm * m.value / rest;
        const double size = cabs(rest);
        if (!(size > 0))
            return LL_BAD_VALUE;
        out[i] =
            (ll_impedance_point){ratio[i].f_hz, creal(z), cimag(z), ohm * m.sd / (size * size)};
    }
    return LL_OK;
}

/* Sums of a straight line through the origin: y = slope x, each with its weight. */
typedef struct line {
    double xx, xy, yy;
} line;

static void add(line *l, double x, double y, double sd)
{
    l->xx += x * x / (sd * sd);
    l->xy += x * y / (sd * sd);
    l->yy += y * y / (sd * sd);
}

static double left_over(const line *l)
{
    return fmax(0, l->yy - l->xy * l->xy / l->xx);
}

ll_status ll_bridge_input_of(double series_ohm, double known_ohm, size_t n,
                             const ll_transfer_point *ratio, const ll_transfer_point *alike,
                             ll_bridge_input *out)
{
    if (!(series_ohm > 0) || !(known_ohm > 0) || n < 2 || !points_fit(n, ratio, alike))
        return LL_BAD_VALUE;
    line conductance = {0}, capacitance = {0};
    for (size_t i = 0; i < n; i++) {
        const freed m = free_from(&ratio[i], alike ? &alike[i] : NULL);
        const double size = cabs(m.value);
        if (!(size > 0))
            return LL_BAD_VALUE;
        const double complex y = (1 - m.value) / (m.value * series_ohm) - 1 / known_ohm;
        /* Rounding stands for noise where a recording has none. */
        const double sd = fmax(m.sd, 1e-9 * size) / (size * size * series_ohm);
        add(&conductance, 1, creal(y), sd);
        add(&capacitance, 2 * LL_PI * ratio[i].f_hz, cimag(y), sd);
    }
    const double misfit =
        sqrt((left_over(&conductance) + left_over(&capacitance)) / (2 * (double)n - 2));
    const double wider = fmax(1, misfit);
    *out = (ll_bridge_input){conductance.xy / conductance.xx, wider / sqrt(conductance.xx),
                             capacitance.xy / capacitance.xx, wider / sqrt(capacitance.xx), misfit};
    return LL_OK;
}
