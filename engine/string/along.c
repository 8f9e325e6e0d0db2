/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/along.h"
#include "base/constants.h"
#include "base/gsl.h"
#include "string/pull.h"
#include "string/track.h"

#include <gsl/gsl_interp.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Values at rising places as a cubic spline, told at y_m[n]; zero outside of them. Nodes grow apart beside the pickup, where straight
 * lines would be off by some per cent. */
static ll_status spline(size_t nodes, const double *node_m, const double *value, size_t n,
                        const double *y_m, double *out)
{
    gsl_interp *curve = gsl_interp_alloc(gsl_interp_cspline, nodes);
    if (!curve)
        return LL_NO_MEMORY;
    ll_status status = gsl_interp_init(curve, node_m, value, nodes) ? LL_LIBRARY : LL_OK;
    for (size_t k = 0; k < n && !status; k++) {
        out[k] = 0;
        if (y_m[k] >= node_m[0] && y_m[k] <= node_m[nodes - 1] &&
            gsl_interp_eval_e(curve, node_m, value, y_m[k], NULL, &out[k]))
            status = LL_LIBRARY;
    }
    gsl_interp_free(curve);
    return status;
}

/* What is told, each [n]. */
enum { H_ALONG, MOMENT_X, MOMENT_Z, FORCE_X, FORCE_Z, COLUMNS };

/* The field in the core is known in the middles of elements, all else at nodes; node_m and value [nodes] are room. */
static ll_status tell_columns(const ll_track *t, const ll_pull *pull, size_t n, const double *y_m,
                              double *node_m, double *value, double *column)
{
    ll_status status = LL_OK;
    for (size_t e = 0; e + 1 < t->nodes; e++)
        node_m[e] = (t->y_m[e] + t->y_m[e + 1]) / 2;
    status = spline(t->nodes - 1, node_m, t->bias.h_along, n, y_m, column);
    for (int z = 0; z < 2 && !status; z++) {
        for (size_t i = 0; i < t->nodes; i++)
            value[i] = z ? t->moment[i].z : t->moment[i].x;
        status = spline(t->nodes, t->y_m, value, n, y_m, column + (z ? MOMENT_Z : MOMENT_X) * n);
    }
    if (!status)
        status = spline(t->nodes, t->y_m, pull->force_x_n_m, n, y_m, column + FORCE_X * n);
    return status ? status
                  : spline(t->nodes, t->y_m, pull->force_z_n_m, n, y_m, column + FORCE_Z * n);
}

static void fill_places(const ll_string *string, size_t n, const double *column,
                        ll_string_place *places)
{
    const double radius = ll_string_radius_across_m(string), area = LL_PI * radius * radius;
    for (size_t k = 0; k < n; k++) {
        double b_t;
        const double h = column[H_ALONG * n + k];
        ll_material_b(string->material, h, &b_t, NULL);
        places[k] = (ll_string_place){b_t / LL_MU0 - h,
                                      b_t,
                                      column[MOMENT_X * n + k] / area,
                                      column[MOMENT_Z * n + k] / area,
                                      column[FORCE_X * n + k],
                                      column[FORCE_Z * n + k]};
    }
}

static ll_status tell(ll_track *t, const ll_pull *pull, size_t n, const double *y_m,
                      ll_string_place *places)
{
    double *room = malloc((2 * t->nodes + COLUMNS * n) * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    double *value = room + t->nodes, *column = value + t->nodes;
    ll_status status = ll_track_place(t, NULL, t->string->x_m, t->string->z_m);
    if (!status)
        status = ll_track_magnetise(t, true);
    if (!status)
        status = tell_columns(t, pull, n, y_m, room, value, column);
    if (!status)
        fill_places(t->string, n, column, places);
    free(room);
    return status;
}

ll_status ll_string_along(const ll_solution *s, const ll_string *string, size_t n,
                          const double *y_m, ll_string_place *places)
{
    for (size_t k = 0; k < n; k++)
        if (!isfinite(y_m[k]))
            return LL_BAD_VALUE;
    ll_pull *pull = NULL;
    ll_status status = ll_pull_new(s, string, 0, &pull);
    if (status)
        return status;
    if (ll_string_is_silent(string))
        memset(places, 0, n * sizeof *places);
    else {
        ll_track track;
        status = ll_track_new(s, string, &track);
        if (!status) {
            status = tell(&track, pull, n, y_m, places);
            ll_track_clear(&track);
        }
    }
    ll_pull_free(pull);
    return status;
}
