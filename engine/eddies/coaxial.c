/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/coaxial.h"
#include "base/constants.h"
#include "eddies/stack.h"
#include "eddies/stack_tangent.h"
#include "elements/azimuthal.h"
#include "field/source.h"
#include "magnetics/solution_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The patterns serve from the lowest hum to beyond every peak, whatever is asked, so that no answer depends on another. */
static const double lowest_hz = 20, highest_hz = 200e3;
enum { LOWER_DEGREE = 3 };

struct ll_coaxial {
    ll_pose axis;
    double floor_share;      /* of a change: error that both degrees share */
    ll_azimuthal *degree[2]; /* the lower, and the higher */
};

/* ---- making ---- */

typedef struct ll_filled {
    const ll_stack_tangent *tangent;
    const ll_cell *first;
} ll_filled;

static ll_filling filling(void *context, const ll_cell *cell, double r, double z)
{
    const ll_filled *f = context;
    return ll_stack_tangent_at(f->tangent, (size_t)(cell - f->first), cell, r, z);
}

/* One ampere in a coil, at the points of an outline in the half plane of the axis' own x. */
static ll_status add_coil(const ll_pose *axis, const ll_coil *coil, ll_azimuthal *a)
{
    const size_t n = ll_azimuthal_points(a);
    ll_vec3 *at = malloc((3 * n + 1) * sizeof *at);
    double *value = malloc((3 * n + 1) * sizeof *value);
    ll_status status = at && value ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; i < n && !status; i++) {
        double r, z;
        ll_azimuthal_point(a, i, &r, &z);
        at[i] = ll_to_world(axis, ll_vec(r, 0, z));
    }
    if (!status)
        status = ll_coil_h(&coil->shape, &coil->pose, coil->turns, n, at, at + n);
    if (!status)
        status = ll_coil_a(&coil->shape, &coil->pose, coil->turns, n, at, at + 2 * n);
    for (size_t i = 0; i < n && !status; i++) {
        const ll_vec3 h = ll_rotate_back(&axis->rotation, at[n + i]);
        value[i] = ll_rotate_back(&axis->rotation, at[2 * n + i]).y;
        value[n + i] = LL_MU0 * h.x;
        value[2 * n + i] = LL_MU0 * h.z;
    }
    if (!status)
        status = ll_azimuthal_add_source(a, value, value + n, value + 2 * n);
    free(at);
    free(value);
    return status;
}

static ll_status make_degree(const ll_scene *scene, const ll_pose *axis, ll_meridian *meridian,
                             const ll_stack_tangent *tangent, ll_azimuthal **out)
{
    ll_filled f = {tangent, meridian->cell};
    ll_status status = ll_azimuthal_new(meridian, filling, &f, out);
    for (size_t i = 0; i < ll_scene_coil_count(scene) && !status; i++)
        status = add_coil(axis, ll_scene_coil(scene, i), *out);
    return status ? status : ll_azimuthal_find_patterns(*out, lowest_hz, highest_hz);
}

static ll_status make(const ll_solution *solution, ll_coaxial *c)
{
    ll_stack_tangent *tangent = NULL;
    ll_status status = LL_OK;
    for (int k = 0; k < 2 && !status; k++) {
        ll_meridian meridian = {0};
        status = ll_stack_mesh(solution->scene, &c->axis, LOWER_DEGREE + k, &meridian);
        if (!status && !tangent)
            status = ll_stack_tangent_new(solution, &c->axis, &meridian, &tangent);
        if (!status)
            status = make_degree(solution->scene, &c->axis, &meridian, tangent, &c->degree[k]);
        ll_meridian_clear(&meridian);
    }
    ll_stack_tangent_free(tangent);
    return status;
}

/* What quadrature leaves; and where steel bends, what the static mesh and the mean around the axis leave of its permeability, taken as half a
 * per cent: nothing outside was found to compare with. */
static double floor_of(const ll_scene *scene)
{
    const double quadrature = 3e-4, bent = 5e-3;
    for (size_t i = 0; i < scene->parts; i++) {
        const ll_material *m = scene->part[i].material;
        if (ll_material_kind(m) == LL_STEEL && !ll_material_is_linear(m))
            return bent;
    }
    return quadrature;
}

ll_status ll_coaxial_new(const ll_solution *solution, ll_coaxial **out)
{
    ll_coaxial *c = calloc(1, sizeof *c);
    if (!c)
        return LL_NO_MEMORY;
    ll_status status = LL_OK;
    *out = NULL;
    c->floor_share = floor_of(solution->scene);
    if (ll_stack_find(solution->scene, &c->axis)) {
        status = make(solution, c);
        if (!status) {
            *out = c;
            return LL_OK;
        }
    }
    ll_coaxial_free(c);
    return status == LL_TOO_BIG ? LL_OK : status;
}

void ll_coaxial_free(ll_coaxial *c)
{
    if (!c)
        return;
    for (int k = 0; k < 2; k++)
        ll_azimuthal_free(c->degree[k]);
    free(c);
}

/* ---- readings ---- */

/* How far a pattern's current follows what drives it: it opposes it at high frequency. */
static double complex followed(const ll_azimuthal *a, size_t k, double f_hz)
{
    const double complex s = 2 * LL_PI * I * f_hz * ll_azimuthal_time_s(a, k);
    return -s / (1 + s);
}

static double complex change(const ll_azimuthal *a, size_t i, size_t j, double f_hz)
{
    double complex sum = 0;
    for (size_t k = 0; k < ll_azimuthal_patterns(a); k++)
        sum += ll_azimuthal_weight(a, i, k) * ll_azimuthal_weight(a, j, k) * followed(a, k, f_hz);
    return sum;
}

double complex ll_coaxial_inductance(const ll_coaxial *c, size_t i, size_t j, double f_hz,
                                     double complex *error_h)
{
    const double complex higher = change(c->degree[1], i, j, f_hz);
    if (error_h) {
        const double complex apart = higher - change(c->degree[0], i, j, f_hz);
        *error_h = fabs(creal(apart)) + c->floor_share * fabs(creal(higher)) +
                   I * (fabs(cimag(apart)) + c->floor_share * fabs(cimag(higher)));
    }
    return higher;
}

double ll_coaxial_static_h(const ll_coaxial *c, size_t i, size_t j)
{
    return ll_azimuthal_static_h(c->degree[1], i, j);
}

/* A field along r and z at a world point. */
static ll_vec3 turned(const ll_pose *axis, ll_vec3 point_m, double h_r, double h_z)
{
    const ll_vec3 own = ll_to_own(axis, point_m);
    const double r = hypot(own.x, own.y), across = r > 0 ? h_r / r : 0;
    return ll_rotate(&axis->rotation, ll_vec(across * own.x, across * own.y, h_z));
}

/* Real, then imaginary amplitudes of all patterns for one ampere in a coil. */
static double *amplitudes(const ll_azimuthal *a, size_t coil, double f_hz)
{
    const size_t m = ll_azimuthal_patterns(a);
    double *amplitude = malloc((2 * m + 1) * sizeof *amplitude);
    for (size_t k = 0; k < m && amplitude; k++) {
        const double complex own = ll_azimuthal_weight(a, coil, k) * followed(a, k, f_hz);
        amplitude[k] = creal(own);
        amplitude[m + k] = cimag(own);
    }
    return amplitude;
}

ll_status ll_coaxial_h(const ll_coaxial *c, size_t coil, double f_hz, size_t n,
                       const ll_vec3 *points_m, ll_vec3 *real_per_m, ll_vec3 *imag_per_m)
{
    const ll_azimuthal *a = c->degree[1];
    double *amplitude = amplitudes(a, coil, f_hz), *room = malloc((6 * n + 1) * sizeof *room);
    ll_status status = amplitude && room ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; i < n && !status; i++) {
        const ll_vec3 own = ll_to_own(&c->axis, points_m[i]);
        room[i] = hypot(own.x, own.y);
        room[n + i] = own.z;
    }
    if (!status)
        status = ll_azimuthal_h(a, 2, amplitude, n, room, room + n, room + 2 * n, room + 4 * n);
    for (size_t i = 0; i < n && !status; i++) {
        const double *h_r = room + 2 * n + i, *h_z = room + 4 * n + i;
        real_per_m[i] = turned(&c->axis, points_m[i], h_r[0], h_z[0]);
        imag_per_m[i] = turned(&c->axis, points_m[i], h_r[n], h_z[n]);
    }
    free(amplitude);
    free(room);
    return status;
}
