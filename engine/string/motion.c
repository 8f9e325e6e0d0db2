/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/motion.h"
#include "base/constants.h"

#include <math.h>
#include <stdlib.h>

/* One mode with its amplitude along its axis (c, s); a mode that the pluck does not reach is left out. */
static void append(ll_motion *m, size_t n, double hz, double decay, double along, double c,
                   double s)
{
    if (along != 0)
        m->modes[m->count++] = (ll_mode){n, hz, decay, along * c, along * s};
}

/* The pull of the pluck is shared out between the two axes of the pair; from then on each goes at its own frequency, and
 * the string's path turns from a line to an ellipse and back. */
static void add_partial(ll_motion *m, const ll_stiff_string *string, const ll_mode_pair *pair,
                        const ll_damping *damping, const ll_pluck *pluck, size_t n)
{
    const double amplitude = ll_pluck_amplitude_m(pluck, string, n);
    const double decay = ll_damping_decay_per_s(damping, string, n);
    const double off = pluck->angle_rad - pair->angle_rad;
    const double c = cos(pair->angle_rad), s = sin(pair->angle_rad);
    append(m, n, pair->horizontal_hz, decay, amplitude * cos(off), c, s);
    append(m, n, pair->vertical_hz, decay, amplitude * sin(off), -s, c);
}

ll_status ll_motion_new(const ll_stiff_string *string, size_t partials, const ll_mode_pair *pairs,
                        const ll_damping *damping, const ll_pluck *pluck, ll_motion **out)
{
    ll_status status = ll_damping_check(damping);
    if (!status)
        status = ll_pluck_check(pluck, string);
    if (!status && partials == 0)
        status = LL_BAD_VALUE;
    if (status)
        return status;
    ll_motion *m = malloc(sizeof *m + 2 * partials * sizeof m->modes[0]);
    if (!m)
        return LL_NO_MEMORY;
    m->length_m = string->length_m;
    m->count = 0;
    for (size_t i = 0; i < partials; i++)
        add_partial(m, string, &pairs[i], damping, pluck, i + 1);
    *out = m;
    return LL_OK;
}

void ll_motion_free(ll_motion *motion)
{
    free(motion);
}

void ll_motion_at(const ll_motion *motion, double from_bridge_m, double time_s, double *x_m,
                  double *z_m)
{
    double x = 0, z = 0;
    for (size_t i = 0; i < motion->count; i++) {
        const ll_mode *m = &motion->modes[i];
        const double now = exp(-m->decay_per_s * time_s) *
                           cos(2 * LL_PI * m->frequency_hz * time_s) *
                           sin((double)m->number * LL_PI * from_bridge_m / motion->length_m);
        x += m->x_m * now;
        z += m->z_m * now;
    }
    *x_m = x;
    *z_m = z;
}
