/* Compiled for vectors of rings. SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/ring_kernel.h"
#include "base/constants.h"
#include "base/vectorised.h"

#include <math.h>

enum { LANES = LL_RINGS_TOGETHER, ORDERS = LL_HARMONIC_MOST + 2 };

/* Below this chi - 1 the recurrence runs forwards; it then loses e^(2 m arcosh chi), 1e-5 of 1e-16 at most. */
static const double forward_below = 0.15;

/* chi - 1 and Q_(m-1/2), [m][lane], of one batch of rings. */
typedef struct ll_toroidal {
    double over[LANES], q[ORDERS][LANES];
} ll_toroidal;

/* Q_(-1/2) = k K(k) and Q_(1/2) = chi k K(k) - (chi + 1) k E(k) with k^2 = 2 / (chi + 1). */
static LL_VECTORISED(find_lowest, (int steps, ll_toroidal *f), (steps, f))
{
    for (int i = 0; i < LANES; i++) {
        const double over = f->over[i], chi = 1 + over, rest = over / (chi + 1);
        const double k = sqrt(2 / (chi + 1));
        double a = 1, b = sqrt(rest), sum = 0.5 * (1 - rest), power = 0.5;
        for (int n = 0; n < steps; n++) {
            const double c = 0.5 * (a - b), next = 0.5 * (a + b);
            b = sqrt(a * b);
            a = next;
            power *= 2;
            sum += power * c * c;
        }
        const double first = LL_PI / (2 * a), second = first * (1 - sum);
        f->q[0][i] = k * first;
        f->q[1][i] = chi * k * first - (chi + 1) * k * second;
    }
}

static LL_VECTORISED(go_forwards, (int most, ll_toroidal *f), (most, f))
{
    for (int m = 1; m < most; m++)
        for (int i = 0; i < LANES; i++)
            f->q[m + 1][i] =
                (2 * m * (1 + f->over[i]) * f->q[m][i] - (m - 0.5) * f->q[m - 1][i]) / (m + 0.5);
}

/* The ratios Q_(m-1/2) / Q_(m-3/2) from far above downwards, started with what they tend to; only where chi is large. */
static LL_VECTORISED(come_backwards, (int most, int from, ll_toroidal *f), (most, from, f))
{
    double ratio[LANES];
    double ratios[ORDERS][LANES];
    for (int i = 0; i < LANES; i++) {
        const double chi = 1 + f->over[i];
        ratio[i] = 1 / (chi + sqrt(f->over[i] * (chi + 1)));
    }
    for (int m = from; m > most; m--)
        for (int i = 0; i < LANES; i++)
            ratio[i] = (m - 0.5) / (2 * m * (1 + f->over[i]) - (m + 0.5) * ratio[i]);
    for (int m = most; m > 0; m--)
        for (int i = 0; i < LANES; i++)
            ratios[m][i] = ratio[i] = (m - 0.5) / (2 * m * (1 + f->over[i]) - (m + 0.5) * ratio[i]);
    for (int m = 1; m <= most; m++)
        for (int i = 0; i < LANES; i++) {
            const double q = ratios[m][i] * f->q[m - 1][i];
            f->q[m][i] = f->over[i] < forward_below ? f->q[m][i] : q;
        }
}

/* Orders 0 .. most + 1 of Q. */
static void find_toroidal(int most, ll_toroidal *f)
{
    double least = HUGE_VAL, largest = 0, least_back = HUGE_VAL;
    for (int i = 0; i < LANES; i++) {
        least = fmin(least, f->over[i]);
        largest = fmax(largest, f->over[i]);
        if (f->over[i] >= forward_below)
            least_back = fmin(least_back, f->over[i]);
    }
    /* The mean converges quadratically: digits double once b / a is near 1. */
    find_lowest(least > 0.15 ? 4 : least > 1e-3 ? 5 : least > 1e-8 ? 6 : 8, f);
    go_forwards(most + 1, f);
    if (largest < forward_below)
        return;
    const double gamma = acosh(1 + least_back);
    come_backwards(most + 1, most + 2 + (int)ceil(10 / gamma), f);
}

/* The kernels and their derivatives of order m; dQ/dchi = (m - 1/2) (chi Q_m - Q_(m-1)) / (chi^2 - 1). */
static LL_VECTORISED(differentiate,
                     (int m, double r, const double *s, const double *dz, const ll_toroidal *f,
                      ll_ring_kernels *out),
                     (m, r, s, dz, f, out))
{
    const double *before = f->q[m ? m - 1 : 1], *q = f->q[m];
    for (int i = 0; i < LANES; i++) {
        const double chi = 1 + f->over[i], scale = 1 / (2 * LL_PI * sqrt(r * s[i]));
        const double slope = (m - 0.5) * (chi * q[i] - before[i]) / (f->over[i] * (chi + 1));
        out->g[m][i] = scale * q[i];
        /* 1 / r - chi / s without the difference of like figures near the ring. */
        const double turn = (s[i] - r - r * f->over[i]) / (r * s[i]);
        out->to_s[m][i] = scale * (slope * turn - q[i] / (2 * s[i]));
        out->to_t[m][i] = -scale * slope * dz[i] / (r * s[i]);
    }
}

void ll_ring_kernels_find(int most, double r, double z, int n, const double *s, const double *t,
                          ll_ring_kernels *out)
{
    ll_toroidal f;
    double radius[LANES], dz[LANES];
    for (int i = 0; i < LANES; i++) {
        const int k = i < n ? i : n - 1;
        radius[i] = s[k];
        dz[i] = z - t[k];
        f.over[i] = ((r - s[k]) * (r - s[k]) + dz[i] * dz[i]) / (2 * r * s[k]);
    }
    find_toroidal(most, &f);
    for (int m = 0; m <= most; m++)
        differentiate(m, r, radius, dz, &f, out);
}
