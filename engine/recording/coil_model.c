/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/coil_model.h"
#include "base/constants.h"

#include <complex.h>
#include <math.h>

static double complex impedance(const ll_coil_model *m, double f_hz)
{
    const double w = 2 * LL_PI * f_hz;
    double complex left = 1;
    for (int i = 0; i < m->loops; i++)
        left -= m->share[i] * I * f_hz / (m->corner_hz[i] + I * f_hz);
    if (m->core > 0) {
        const double complex u = csqrt(I * f_hz / m->core_hz);
        left -= m->core * (1 - ctanh(u) / u);
    }
    const double complex coil = m->r_ohm + I * w * m->l_h * left;
    return coil / (1 + I * w * m->c_f * coil);
}

void ll_coil_model_impedance(const ll_coil_model *model, size_t n, const double *f_hz, double *re,
                             double *im)
{
    for (size_t i = 0; i < n; i++) {
        const double complex z = impedance(model, f_hz[i]);
        re[i] = creal(z);
        im[i] = cimag(z);
    }
}

static double size_at(const ll_coil_model *m, double log_f)
{
    return cabs(impedance(m, exp(log_f)));
}

/* The top between two frequencies that stand on either side of it, by golden section. */
static double top(const ll_coil_model *m, double low, double high)
{
    const double part = (sqrt(5) - 1) / 2;
    while (high - low > 1e-10) {
        const double a = high - part * (high - low), b = low + part * (high - low);
        if (size_at(m, a) > size_at(m, b))
            high = b;
        else
            low = a;
    }
    return (low + high) / 2;
}

/* Where |Z| passes `level` between a place above it and one below it. */
static double passes(const ll_coil_model *m, double above, double below, double level)
{
    while (fabs(above - below) > 1e-12) {
        const double middle = (above + below) / 2;
        if (size_at(m, middle) > level)
            above = middle;
        else
            below = middle;
    }
    return (above + below) / 2;
}

bool ll_coil_model_peak(const ll_coil_model *model, ll_coil_peak *out)
{
    const double first = log(10), last = log(1e6), step = 0.02;
    double best = first;
    for (int k = 0; first + k * step <= last; k++)
        if (size_at(model, first + k * step) > size_at(model, best))
            best = first + k * step;
    if (best <= first || best >= last - step)
        return false;
    best = top(model, best - step, best + step);
    const double ohm = size_at(model, best), level = ohm / sqrt(2);
    if (size_at(model, first) > level || size_at(model, last) > level)
        return false;
    double low = best, high = best;
    while (size_at(model, low) > level)
        low -= step;
    while (size_at(model, high) > level)
        high += step;
    const double width =
        exp(passes(model, high - step, high, level)) - exp(passes(model, low + step, low, level));
    *out = (ll_coil_peak){exp(best), ohm, exp(best) / width};
    return true;
}
