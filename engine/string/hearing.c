/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/hearing.h"
#include "base/constants.h"
#include "string/track.h"

#include <stdlib.h>
#include <string.h>

/* Step of the central difference across the string: its error is about (step / distance to the pole)^2. */
static const double step_m = 0.05e-3;

void ll_hearing_free(ll_hearing *hearing)
{
    free(hearing);
}

/* One block of memory, all zero. */
static ll_hearing *hearing_alloc(size_t points)
{
    ll_hearing *h = calloc(1, sizeof *h + 3 * points * sizeof(double));
    if (!h)
        return NULL;
    double *room = (double *)(h + 1);
    *h = (ll_hearing){points, room, room + points, room + 2 * points};
    return h;
}

/* mu0 (q_c H_u + q H_c,u). */
static void add_charges(const ll_track *t, ll_hearing *h)
{
    for (size_t i = 0; i < t->nodes; i++) {
        const double q = t->bias.charge[i], q_coil = t->coil.charge[i];
        h->dz_wb_m2[i] += LL_MU0 * (q_coil * t->h[i].z + q * t->h_coil[i].z);
        h->dx_wb_m2[i] += LL_MU0 * (q_coil * t->h[i].x + q * t->h_coil[i].x);
    }
}

/* Adds factor mu0 A a (H . H_c across the string) with the axis at (x, z), into slope. */
static ll_status add_across(const ll_track *rest, ll_track *side, const double *share, double x_m,
                            double z_m, double factor, double *slope)
{
    ll_status status = ll_track_place(side, x_m, z_m);
    if (!status)
        status = ll_track_hear(side, share);
    for (size_t i = 0; i < rest->nodes && !status; i++)
        slope[i] += factor * LL_MU0 * ll_track_across(rest, i) *
                    (side->h[i].x * side->h_coil[i].x + side->h[i].z * side->h_coil[i].z);
    return status;
}

/* Its derivatives, from one step each way. */
static ll_status add_crosswise(const ll_track *rest, const double *share, ll_hearing *h)
{
    const ll_string *string = rest->string;
    const double x = string->x_m, z = string->z_m;
    ll_track side;
    ll_status status = ll_track_new(rest->solution, string, &side);
    if (status)
        return status;
    for (int sign = -1; sign <= 1 && !status; sign += 2) {
        const double factor = sign / (2 * step_m);
        status = add_across(rest, &side, share, x, z + sign * step_m, factor, h->dz_wb_m2);
        if (!status)
            status = add_across(rest, &side, share, x + sign * step_m, z, factor, h->dx_wb_m2);
    }
    ll_track_clear(&side);
    return status;
}

static ll_status hear(ll_track *rest, const double *share, ll_hearing *h)
{
    ll_status status = ll_track_place(rest, rest->string->x_m, rest->string->z_m);
    if (status || ll_string_is_silent(rest->string))
        return status;
    status = ll_track_magnetise(rest, true);
    if (!status)
        status = ll_track_hear(rest, share);
    if (!status)
        status = ll_track_excite(rest, true);
    if (status)
        return status;
    add_charges(rest, h);
    return add_crosswise(rest, share, h);
}

ll_status ll_hearing_new(const ll_solution *s, const double *share, const ll_string *string,
                         ll_hearing **out)
{
    ll_track rest;
    ll_status status = ll_string_check(string);
    if (!status)
        status = ll_track_new(s, string, &rest);
    if (status)
        return status;
    ll_hearing *h = hearing_alloc(rest.nodes);
    status = h ? hear(&rest, share, h) : LL_NO_MEMORY;
    if (h)
        memcpy(h->y_m, rest.y_m, rest.nodes * sizeof *h->y_m);
    ll_track_clear(&rest);
    if (status)
        ll_hearing_free(h);
    else
        *out = h;
    return status;
}

/* The trapezoid that goes with values linear between the points. */
void ll_hearing_total(const ll_hearing *h, double *dz_wb_m, double *dx_wb_m)
{
    double dz = 0, dx = 0;
    for (size_t i = 0; i + 1 < h->points; i++) {
        const double half = (h->y_m[i + 1] - h->y_m[i]) / 2;
        dz += half * (h->dz_wb_m2[i] + h->dz_wb_m2[i + 1]);
        dx += half * (h->dx_wb_m2[i] + h->dx_wb_m2[i + 1]);
    }
    *dz_wb_m = dz;
    *dx_wb_m = dx;
}

void ll_hearing_from_bridge(ll_hearing *h, double from_bridge_m)
{
    for (size_t i = 0; i < h->points; i++)
        h->y_m[i] += from_bridge_m;
}

ll_aperture ll_hearing_aperture(const ll_hearing *h)
{
    double dz, dx;
    ll_hearing_total(h, &dz, &dx);
    return (ll_aperture){h->points, h->y_m, fabs(dz) >= fabs(dx) ? h->dz_wb_m2 : h->dx_wb_m2};
}
