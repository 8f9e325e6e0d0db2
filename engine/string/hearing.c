/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/hearing.h"
#include "base/constants.h"
#include "string/slopes.h"

#include <stdlib.h>
#include <string.h>

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

/* mu0 (q_c H_u + q H_c,u), the charges sitting on the wire's surface. */
static void add_charges(const ll_track *t, ll_hearing *h)
{
    for (size_t i = 0; i < t->nodes; i++) {
        const double q = t->bias.charge[i], q_coil = t->coil.charge[i];
        const ll_vec3 own = ll_track_around(t, t->h, i, 0.25);
        const ll_vec3 coil = ll_track_around(t, t->h_coil, i, 0.25);
        h->dz_wb_m2[i] += LL_MU0 * (q_coil * own.z + q * coil.z);
        h->dx_wb_m2[i] += LL_MU0 * (q_coil * own.x + q * coil.x);
    }
}

/* The same for moments across: mu0 (p_c . dH/du + p . dH_c/du). */
static ll_status add_across(const ll_track *t, const double *share, ll_hearing *h)
{
    ll_slopes bias, coil;
    const ll_status status = ll_slopes_find(t, share, &bias, &coil);
    if (status)
        return status;
    for (size_t i = 0; i < t->nodes; i++) {
        const ll_vec3 p = t->moment[i], p_coil = t->coil_moment[i];
        h->dz_wb_m2[i] += LL_MU0 * (ll_dot(p_coil, bias.by_z[i]) + ll_dot(p, coil.by_z[i]));
        h->dx_wb_m2[i] += LL_MU0 * (ll_dot(p_coil, bias.by_x[i]) + ll_dot(p, coil.by_x[i]));
    }
    ll_slopes_clear(&bias);
    ll_slopes_clear(&coil);
    return LL_OK;
}

static ll_status hear(ll_track *rest, const double *share, bool answered, ll_hearing *h)
{
    const bool silent = ll_string_is_silent(rest->string);
    ll_status status =
        ll_track_place(rest, silent ? NULL : share, rest->string->x_m, rest->string->z_m);
    if (status || silent)
        return status;
    status = ll_track_magnetise(rest, answered);
    if (!status)
        status = ll_track_excite(rest, answered);
    if (status)
        return status;
    add_charges(rest, h);
    return add_across(rest, share, h);
}

static ll_status hearing_new(const ll_solution *s, const double *share, bool answered,
                             const ll_string *string, ll_hearing **out)
{
    ll_track rest;
    ll_status status = ll_string_check(string);
    if (!status)
        status = ll_track_new(s, string, &rest);
    if (status)
        return status;
    ll_hearing *h = hearing_alloc(rest.nodes);
    status = h ? hear(&rest, share, answered, h) : LL_NO_MEMORY;
    if (h)
        memcpy(h->y_m, rest.y_m, rest.nodes * sizeof *h->y_m);
    ll_track_clear(&rest);
    if (status)
        ll_hearing_free(h);
    else
        *out = h;
    return status;
}

ll_status ll_hearing_new(const ll_solution *s, const double *share, const ll_string *string,
                         ll_hearing **out)
{
    return hearing_new(s, share, true, string, out);
}

ll_status ll_hearing_slopes(const ll_solution *s, bool answered, size_t count, const double *share,
                            const ll_string *string, double *dz_wb_m)
{
    const size_t coils = ll_scene_coil_count(ll_solution_scene(s));
    ll_status status = LL_OK;
    for (size_t k = 0; k < count && !status; k++) {
        ll_hearing *h;
        double dx_wb_m;
        status = hearing_new(s, share + k * coils, answered, string, &h);
        if (status)
            break;
        ll_hearing_total(h, &dz_wb_m[k], &dx_wb_m);
        ll_hearing_free(h);
    }
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
