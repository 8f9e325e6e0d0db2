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

/* A field across the string and how it changes there, from places a step below and above: upwards by the difference, and sideways
 * since H outside of matter has neither curl nor divergence: dHz/dx = dHx/dz and dHx/dx = -dHy/dy - dHz/dz. */
typedef struct ll_across {
    double x, z, x_by_x, z_by_x;
} ll_across;

static ll_across across_at(ll_vec3 below, ll_vec3 above, double y_by_y)
{
    const double per = 1 / (2 * step_m);
    return (ll_across){(below.x + above.x) / 2, (below.z + above.z) / 2,
                       -y_by_y - per * (above.z - below.z), per * (above.x - below.x)};
}

static double product(ll_vec3 h, ll_vec3 h_coil)
{
    return h.x * h_coil.x + h.z * h_coil.z;
}

/* mu0 A a times the derivatives of (H . H_c across the string); bend[2][nodes] are dHy/dy of both fields. */
static void add_across(const ll_track *rest, const ll_track *below, const ll_track *above,
                       const double *bend, ll_hearing *hearing)
{
    for (size_t i = 0; i < rest->nodes; i++) {
        const double weight = LL_MU0 * ll_track_across(rest, i);
        const ll_across h = across_at(below->h[i], above->h[i], bend[i]);
        const ll_across c = across_at(below->h_coil[i], above->h_coil[i], bend[rest->nodes + i]);
        hearing->dz_wb_m2[i] +=
            weight / (2 * step_m) *
            (product(above->h[i], above->h_coil[i]) - product(below->h[i], below->h_coil[i]));
        hearing->dx_wb_m2[i] +=
            weight * (h.x_by_x * c.x + h.x * c.x_by_x + h.z_by_x * c.z + h.z * c.z_by_x);
    }
}

static ll_status add_crosswise(const ll_track *rest, const double *share, ll_hearing *h)
{
    ll_track below, above;
    ll_status status = ll_track_new(rest->solution, rest->string, &below);
    if (status)
        return status;
    status = ll_track_new(rest->solution, rest->string, &above);
    double *bend = malloc((2 * rest->nodes + 1) * sizeof *bend);
    if (!status && !bend)
        status = LL_NO_MEMORY;
    if (!status)
        status = ll_track_place(&below, share, rest->string->x_m, rest->string->z_m - step_m);
    if (!status)
        status = ll_track_place(&above, share, rest->string->x_m, rest->string->z_m + step_m);
    if (!status)
        status = ll_track_bend(rest, below.h, bend);
    if (!status)
        status = ll_track_bend(rest, below.h_coil, bend + rest->nodes);
    if (!status)
        add_across(rest, &below, &above, bend, h);
    free(bend);
    ll_track_clear(&below);
    ll_track_clear(&above);
    return status;
}

static ll_status hear(ll_track *rest, const double *share, ll_hearing *h)
{
    const bool silent = ll_string_is_silent(rest->string);
    ll_status status =
        ll_track_place(rest, silent ? NULL : share, rest->string->x_m, rest->string->z_m);
    if (status || silent)
        return status;
    status = ll_track_magnetise(rest, true);
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
