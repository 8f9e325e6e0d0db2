/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/modes.h"
#include "base/constants.h"
#include "base/dense.h"
#include "string/profile.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A wider split is no longer the same note: about a tone and a half. */
static const double widest_split = 0.1;

static ll_status check_pull(const ll_pull *p)
{
    const ll_status status = ll_profile_check(p->points, p->from_bridge_m);
    if (status)
        return status;
    const double *const columns[] = {p->force_x_n_m, p->force_z_n_m, p->gradient_xx_n_m2,
                                     p->gradient_xz_n_m2, p->gradient_zz_n_m2};
    for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++)
        if (!ll_all_finite(p->points, columns[i]))
            return LL_BAD_VALUE;
    return LL_OK;
}

/* Change of (2 pi f)^2 by one entry of the gradient: sin^2 = (1 - cos) / 2, and the stiffness is minus the gradient. */
static double stiffening(const ll_stiff_string *s, const ll_pull *p, const double *gradient,
                         size_t n)
{
    const double wave = (double)n * LL_PI / s->length_m;
    const double complex all =
        ll_profile_transform(p->points, p->from_bridge_m, gradient, s->length_m, 0);
    const double complex swing =
        ll_profile_transform(p->points, p->from_bridge_m, gradient, s->length_m, 2 * wave);
    return -(creal(all) - creal(swing)) / (s->mass_kg_m * s->length_m);
}

/* Principal axes of the symmetric matrix (xx xz; xz zz) of squared angular frequencies. */
static ll_status principal(double xx, double xz, double zz, ll_mode_pair *pair)
{
    /* Between +-45 degrees, so that the first axis is the one nearer to x. */
    double angle = 0;
    if (xz != 0)
        angle = xx == zz ? LL_PI / 4 : atan(2 * xz / (xx - zz)) / 2;
    const double c = cos(angle), s = sin(angle);
    const double first = xx * c * c + 2 * xz * c * s + zz * s * s;
    const double second = xx * s * s - 2 * xz * c * s + zz * c * c;
    /* Negative: the pull grows faster with displacement than tension calls back, and the string snaps to the magnet. */
    if (!(first > 0) || !(second > 0))
        return LL_BAD_VALUE;
    *pair = (ll_mode_pair){sqrt(first) / (2 * LL_PI), sqrt(second) / (2 * LL_PI), angle};
    return LL_OK;
}

/* The instrument's own split stands along x and z; the pull adds to it before the axes are sought, so that a weak pull
 * leaves them nearly where they were and a strong one turns them its own way. */
static ll_status mode_pair(const ll_stiff_string *s, double split, const ll_pull *pull, size_t n,
                           ll_mode_pair *pair)
{
    const double omega = 2 * LL_PI * ll_stiff_string_partial_hz(s, n);
    const double across = omega * (1 - split / 2), up = omega * (1 + split / 2);
    double xx = across * across, xz = 0, zz = up * up;
    if (pull) {
        xx += stiffening(s, pull, pull->gradient_xx_n_m2, n);
        xz += stiffening(s, pull, pull->gradient_xz_n_m2, n);
        zz += stiffening(s, pull, pull->gradient_zz_n_m2, n);
    }
    return principal(xx, xz, zz, pair);
}

ll_status ll_mode_pairs(const ll_stiff_string *string, double split, const ll_pull *pull,
                        size_t count, ll_mode_pair *pairs)
{
    if (!(fabs(split) <= widest_split))
        return LL_BAD_VALUE;
    ll_status status = pull ? check_pull(pull) : LL_OK;
    if (status || count == 0)
        return status;
    ll_mode_pair *found = malloc(count * sizeof *found);
    if (!found)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < count && !status; i++)
        status = mode_pair(string, split, pull, i + 1, &found[i]);
    if (!status)
        memcpy(pairs, found, count * sizeof *found);
    free(found);
    return status;
}

ll_status ll_pull_total(const ll_pull *pull, double length_m, double *force_x_n, double *force_z_n)
{
    const ll_status status = check_pull(pull);
    if (status)
        return status;
    const double *y = pull->from_bridge_m;
    *force_x_n = creal(ll_profile_transform(pull->points, y, pull->force_x_n_m, length_m, 0));
    *force_z_n = creal(ll_profile_transform(pull->points, y, pull->force_z_n_m, length_m, 0));
    return LL_OK;
}

double ll_cents(double frequency_hz, double reference_hz)
{
    return 1200 * log2(frequency_hz / reference_hz);
}

double ll_beat_hz(const ll_mode_pair *pair)
{
    return fabs(pair->vertical_hz - pair->horizontal_hz);
}

bool ll_beat_warbles(double beat_hz)
{
    return beat_hz >= LL_WARBLE_FROM_HZ && beat_hz <= LL_WARBLE_TO_HZ;
}
