/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/linkage_map.h"
#include "base/constants.h"
#include "base/vectorised.h"
#include "string/linkage_fit.h"
#include "string/profile.h"

#include <math.h>
#include <stdlib.h>

/* Values that are worked on together: small enough for the first cache, long enough for vectors. */
enum { CHUNK = 64 };
/* Rounding may put the sample at the very edge just outside. */
static const double edge = 1 + 1e-9;

struct ll_linkage_map {
    ll_polynomial polynomial;
    size_t points;
    double *from_bridge_m, *weight; /* [points], of unit integral */
};

/* Over all of it, beyond the string's ends too. */
static double total_weight(const ll_aperture *a)
{
    return creal(ll_profile_transform(a->points, a->from_bridge_m, a->weight, HUGE_VAL, 0));
}

/* What the integral could be at most: one that is rounding beside it is none. */
static double most_weight(const ll_aperture *a)
{
    double most = 0;
    for (size_t i = 0; i < a->points; i++)
        most = fmax(most, fabs(a->weight[i]));
    return most * (a->from_bridge_m[a->points - 1] - a->from_bridge_m[0]);
}

/* Copies an aperture, made to unit integral. */
static ll_status copy_aperture(const ll_aperture *a, ll_linkage_map *map)
{
    const double total = a->points == 1 ? 1 : total_weight(a);
    if (!isfinite(total) || !(fabs(total) > (a->points == 1 ? 0 : 1e-12 * most_weight(a))))
        return LL_BAD_VALUE;
    map->points = a->points;
    map->from_bridge_m = malloc(a->points * sizeof(double));
    map->weight = malloc(a->points * sizeof(double));
    if (!map->from_bridge_m || !map->weight)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < a->points; i++) {
        map->from_bridge_m[i] = a->from_bridge_m[i];
        map->weight[i] = a->points == 1 ? 1 : a->weight[i] / total;
    }
    return LL_OK;
}

/* One point is an aperture of its own kind, a profile needs two. */
static ll_status check_aperture(const ll_aperture *a)
{
    if (a->points == 1)
        return isfinite(a->from_bridge_m[0]) ? LL_OK : LL_BAD_VALUE;
    return ll_profile_check(a->points, a->from_bridge_m);
}

ll_status ll_linkage_map_new(const ll_linkage_samples *samples, unsigned degree,
                             const ll_aperture *aperture, ll_linkage_map **out)
{
    ll_status status = check_aperture(aperture);
    if (status)
        return status;
    ll_linkage_map *map = calloc(1, sizeof *map);
    if (!map)
        return LL_NO_MEMORY;
    status = copy_aperture(aperture, map);
    if (!status)
        status = ll_polynomial_fit(samples, degree, &map->polynomial);
    if (status) {
        ll_linkage_map_free(map);
        return status;
    }
    *out = map;
    return LL_OK;
}

void ll_linkage_map_free(ll_linkage_map *map)
{
    if (!map)
        return;
    free(map->from_bridge_m);
    free(map->weight);
    free(map);
}

double ll_linkage_map_residual_wb(const ll_linkage_map *map)
{
    return map->polynomial.residual_wb;
}

double ll_aperture_comb(const ll_aperture *a, double length_m, size_t n)
{
    const double wave = (double)n * LL_PI / length_m;
    /* Stopped short of the pickup, or the pickup behind the bridge: nothing moves there. */
    if (a->points == 1) {
        const double y = a->from_bridge_m[0];
        return y > 0 && y < length_m ? sin(wave * y) : 0;
    }
    const double total = total_weight(a);
    return total != 0 ? cimag(ll_profile_transform(a->points, a->from_bridge_m, a->weight, length_m,
                                                   wave)) /
                            total
                      : 0;
}

double ll_linkage_map_comb(const ll_linkage_map *map, double length_m, size_t n)
{
    return ll_aperture_comb(&(ll_aperture){map->points, map->from_bridge_m, map->weight}, length_m,
                            n);
}

/* Displacements in the polynomial's own units, and whether all are covered; a NaN is not. */
static ll_status scale(const ll_polynomial *p, size_t n, const double *x, const double *z,
                       double *u, double *v)
{
    const double per_x = 1 / p->half_x_m, per_z = 1 / p->half_z_m;
    int outside = 0;
    for (size_t t = 0; t < n; t++) {
        u[t] = (x[t] - p->centre_x_m) * per_x;
        v[t] = (z[t] - p->centre_z_m) * per_z;
        outside |= !(fabs(u[t]) <= edge) | !(fabs(v[t]) <= edge);
    }
    return outside ? LL_OUTSIDE_MAP : LL_OK;
}

/* One row of coefficients, those of u^i: value and slope in v by Horner's rule. */
static inline void horner_row(unsigned terms, const double *c, const double *restrict v,
                              double *restrict value, double *restrict slope)
{
    for (size_t t = 0; t < CHUNK; t++)
        value[t] = slope[t] = 0;
    for (unsigned j = terms; j-- > 0;)
        for (size_t t = 0; t < CHUNK; t++) {
            slope[t] = slope[t] * v[t] + value[t];
            value[t] = value[t] * v[t] + c[j];
        }
}

/* Slopes of the polynomial in u and v at CHUNK places. */
static LL_VECTORISED(slopes,
                     (const ll_polynomial *p, const double *restrict u, const double *restrict v,
                      double *restrict du, double *restrict dv),
                     (p, u, v, du, dv))
{
    double sum[CHUNK] = {0}, value[CHUNK], slope[CHUNK];
    for (size_t t = 0; t < CHUNK; t++)
        du[t] = dv[t] = 0;
    for (unsigned i = p->degree + 1; i-- > 0;) {
        horner_row(p->degree + 1 - i, p->c[i], v, value, slope);
        for (size_t t = 0; t < CHUNK; t++) {
            du[t] = du[t] * u[t] + sum[t];
            sum[t] = sum[t] * u[t] + value[t];
            dv[t] = dv[t] * u[t] + slope[t];
        }
    }
}

/* Looks at all places before any slope is written, so that a failure leaves the outputs as they were. */
static ll_status check_all(const ll_polynomial *p, size_t n, const double *x, const double *z)
{
    double u[CHUNK], v[CHUNK];
    ll_status status = LL_OK;
    for (size_t from = 0; from < n && !status; from += CHUNK)
        status = scale(p, n - from < CHUNK ? n - from : CHUNK, x + from, z + from, u, v);
    return status;
}

ll_status ll_linkage_map_gradient(const ll_linkage_map *map, size_t n, const double *x_m,
                                  const double *z_m, double *dx_wb_m, double *dz_wb_m)
{
    const ll_polynomial *p = &map->polynomial;
    const ll_status status = check_all(p, n, x_m, z_m);
    if (status)
        return status;
    /* The last chunk is worked on whole: what is left of the one before it, or zeros, fill it. */
    double u[CHUNK] = {0}, v[CHUNK] = {0}, du[CHUNK], dv[CHUNK];
    for (size_t from = 0; from < n; from += CHUNK) {
        const size_t some = n - from < CHUNK ? n - from : CHUNK;
        (void)scale(p, some, x_m + from, z_m + from, u, v);
        slopes(p, u, v, du, dv);
        for (size_t t = 0; t < some; t++) {
            dx_wb_m[from + t] = du[t] / p->half_x_m;
            dz_wb_m[from + t] = dv[t] / p->half_z_m;
        }
    }
    return LL_OK;
}

ll_status ll_linkage_map_value(const ll_linkage_map *map, double x_m, double z_m,
                               double *linkage_wb)
{
    double u, v;
    const ll_status status = scale(&map->polynomial, 1, &x_m, &z_m, &u, &v);
    if (!status)
        *linkage_wb = ll_polynomial_value(&map->polynomial, u, v);
    return status;
}
