/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/slopes.h"

#include <stdlib.h>

/* Step of the central difference across the string: its error is about (step / distance to the pole)^2. */
static const double step_m = 0.05e-3;

void ll_slopes_clear(ll_slopes *s)
{
    free(s->by_x);
    s->by_x = s->by_z = NULL;
}

static ll_status slopes_new(size_t nodes, ll_slopes *s)
{
    s->by_x = malloc((2 * nodes + 1) * sizeof *s->by_x);
    s->by_z = s->by_x ? s->by_x + nodes : NULL;
    return s->by_x ? LL_OK : LL_NO_MEMORY;
}

/* Upwards by the difference, and sideways since H outside of matter has neither curl nor divergence: dHz/dx = dHx/dz and dHx/dx =
 * -dHy/dy - dHz/dz. */
static ll_status differ(const ll_track *rest, const ll_vec3 *h, const ll_vec3 *below,
                        const ll_vec3 *above, ll_slopes *s)
{
    double *bend = malloc((rest->nodes + 1) * sizeof *bend);
    const ll_status status = bend ? ll_track_bend(rest, h, bend) : LL_NO_MEMORY;
    for (size_t i = 0; i < rest->nodes && !status; i++) {
        const ll_vec3 up = ll_scale(1 / (2 * step_m), ll_sub(above[i], below[i]));
        s->by_z[i] = ll_vec(up.x, 0, up.z);
        s->by_x[i] = ll_vec(-bend[i] - up.z, 0, up.x);
    }
    free(bend);
    return status;
}

/* What the steel answers to the string at rest, added to the field a step below or above it. */
static ll_status add_answer(const ll_carried *rest, const ll_track *side, ll_vec3 *h)
{
    if (!rest->answer)
        return LL_OK;
    ll_vec3 *answer = malloc((side->nodes + 1) * sizeof *answer);
    const ll_status status =
        answer ? ll_response_h(rest->answer, side->nodes, side->at_m, answer) : LL_NO_MEMORY;
    for (size_t i = 0; i < side->nodes && !status; i++)
        h[i] = ll_add(h[i], answer[i]);
    free(answer);
    return status;
}

/* A step to one side: the fields there, with the answers to the string where it rests. */
static ll_status look(const ll_track *rest, const double *share, int sign, ll_track *side)
{
    const ll_string *string = rest->string;
    ll_status status = ll_track_new(rest->solution, string, side);
    if (status)
        return status;
    for (size_t i = 0; i < rest->nodes; i++)
        side->y_m[i] = rest->y_m[i];
    status = ll_track_place(side, share, string->x_m, string->z_m + sign * step_m);
    if (!status)
        status = add_answer(&rest->bias, side, side->h);
    if (!status && share)
        status = add_answer(&rest->coil, side, side->h_coil);
    if (status)
        ll_track_clear(side);
    return status;
}

/* `coil` may be NULL: then the bias alone. */
static ll_status find(const ll_track *rest, const ll_track *below, const ll_track *above,
                      ll_slopes *bias, ll_slopes *coil)
{
    ll_status status = slopes_new(rest->nodes, bias);
    if (!status)
        status = differ(rest, rest->h, below->h, above->h, bias);
    if (!status && coil)
        status = slopes_new(rest->nodes, coil);
    if (!status && coil)
        status = differ(rest, rest->h_coil, below->h_coil, above->h_coil, coil);
    return status;
}

ll_status ll_slopes_find(const ll_track *rest, const double *share, ll_slopes *bias,
                         ll_slopes *coil)
{
    ll_track below, above;
    *bias = (ll_slopes){NULL, NULL};
    if (coil)
        *coil = (ll_slopes){NULL, NULL};
    ll_status status = look(rest, share, -1, &below);
    if (status)
        return status;
    status = look(rest, share, 1, &above);
    if (!status) {
        status = find(rest, &below, &above, bias, share ? coil : NULL);
        ll_track_clear(&above);
    }
    ll_track_clear(&below);
    if (status) {
        ll_slopes_clear(bias);
        if (coil)
            ll_slopes_clear(coil);
    }
    return status;
}
