/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/string.h"
#include "base/constants.h"
#include "string/wire.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Elements are fine over the pickup and grow outside it; the string goes on far enough that its ends see nothing. */
static const double fine_m = 0.75e-3, growth = 1.3, beyond_m = 80e-3;
/* Step of the central difference: its error is about (step / distance to the pole)^2 / 6. */
static const double step_m = 0.05e-3;

/* A string in one place: its nodes, two Gauss points in each element and what it carries. */
typedef struct ll_track {
    size_t nodes, points;
    double *y;       /* [nodes] */
    double *h_along; /* [nodes - 1] inside the string */
    double *charge;  /* [nodes] */
    double *psi;     /* [nodes] */
    ll_vec3 *at;     /* [points] */
    ll_vec3 *h;      /* [points] from everything but the string */
    ll_vec3 *h_coil; /* [points] per ampere */
} ll_track;

static void track_clear(ll_track *t)
{
    free(t->y);
    free(t->h_along);
    free(t->charge);
    free(t->psi);
    free(t->at);
    free(t->h);
    free(t->h_coil);
}

/* The reach of parts and coils along y. */
static void extent_y(const ll_scene *scene, double *from, double *to)
{
    const ll_vec3 y = ll_vec(0, 1, 0);
    *from = HUGE_VAL;
    *to = -HUGE_VAL;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        const double reach = ll_shape_reach_m(&p->shape, &p->pose.rotation, y);
        *from = fmin(*from, p->pose.origin_m.y - reach);
        *to = fmax(*to, p->pose.origin_m.y + reach);
    }
    for (size_t i = 0; i < ll_scene_coil_count(scene); i++) {
        const ll_coil *c = ll_scene_coil(scene, i);
        const double reach = c->shape.opening_y_m / 2 + c->shape.build_m;
        *from = fmin(*from, c->pose.origin_m.y - reach);
        *to = fmax(*to, c->pose.origin_m.y + reach);
    }
    if (*from > *to)
        *from = *to = 0;
}

static size_t outside_nodes(void)
{
    size_t n = 0;
    for (double at = 0, step = fine_m; at < beyond_m; step *= growth, n++)
        at += step;
    return n;
}

static ll_status track_new(const ll_scene *scene, ll_track *t)
{
    double from, to;
    extent_y(scene, &from, &to);
    const size_t inner = (size_t)ceil((to - from) / fine_m) + 1, outer = outside_nodes();
    memset(t, 0, sizeof *t);
    t->nodes = inner + 2 * outer;
    t->points = 2 * (t->nodes - 1);
    t->y = malloc(t->nodes * sizeof *t->y);
    t->h_along = malloc(t->nodes * sizeof *t->h_along);
    t->charge = malloc(t->nodes * sizeof *t->charge);
    t->psi = malloc(t->nodes * sizeof *t->psi);
    t->at = malloc(t->points * sizeof *t->at);
    t->h = malloc(t->points * sizeof *t->h);
    t->h_coil = malloc(t->points * sizeof *t->h_coil);
    if (!t->y || !t->h_along || !t->charge || !t->psi || !t->at || !t->h || !t->h_coil) {
        track_clear(t);
        return LL_NO_MEMORY;
    }
    for (size_t i = 0; i < inner; i++)
        t->y[outer + i] = inner > 1 ? from + (to - from) * (double)i / (double)(inner - 1) : from;
    double step = fine_m;
    for (size_t i = 0; i < outer; i++, step *= growth) {
        t->y[outer - 1 - i] = t->y[outer - i] - step;
        t->y[outer + inner + i] = t->y[outer + inner + i - 1] + step;
    }
    return LL_OK;
}

static void place(ll_track *t, double x_m, double z_m)
{
    for (size_t e = 0; e + 1 < t->nodes; e++) {
        const double mid = 0.5 * (t->y[e] + t->y[e + 1]);
        const double half = 0.5 * (t->y[e + 1] - t->y[e]) / sqrt(3);
        t->at[2 * e] = ll_vec(x_m, mid - half, z_m);
        t->at[2 * e + 1] = ll_vec(x_m, mid + half, z_m);
    }
}

static ll_status check_clear(const ll_scene *scene, const ll_track *t, double radius_m)
{
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        for (size_t k = 0; k < t->points; k++)
            if (ll_shape_depth_m(&p->shape, ll_to_own(&p->pose, t->at[k])) > -radius_m)
                return LL_STRING_IN_PART;
    }
    return LL_OK;
}

/* psi from the axial field, starting at zero at one end: a constant changes nothing. */
static void integrate_psi(ll_track *t)
{
    t->psi[0] = 0;
    for (size_t e = 0; e + 1 < t->nodes; e++)
        t->psi[e + 1] =
            t->psi[e] - 0.5 * (t->y[e + 1] - t->y[e]) * (t->h[2 * e].y + t->h[2 * e + 1].y);
}

static ll_status bias_field(const ll_solution *s, ll_track *t)
{
    const ll_status status = ll_solution_b(s, t->points, t->at, t->h);
    for (size_t k = 0; k < t->points && !status; k++)
        t->h[k] = ll_scale(1 / LL_MU0, t->h[k]);
    return status;
}

/* The steel's answer to the string's charges is added to the field along it. */
static ll_status add_response(const ll_solution *s, const ll_track *t, double x_m, double z_m)
{
    double *charge = malloc(t->nodes * sizeof *charge);
    ll_vec3 *at = malloc((t->nodes + t->points) * sizeof *at);
    ll_status status = charge && at ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        ll_wire_weights(t->nodes, t->y, charge);
        for (size_t i = 0; i < t->nodes; i++) {
            charge[i] *= t->charge[i];
            at[i] = ll_vec(x_m, t->y[i], z_m);
        }
        status = ll_solution_response_h(s, t->nodes, at, charge, t->points, t->at, at + t->nodes);
    }
    for (size_t k = 0; k < t->points && !status; k++)
        t->h[k] = ll_add(t->h[k], at[t->nodes + k]);
    free(charge);
    free(at);
    return status;
}

/* Susceptibility, M over H, at the axial field in an element. */
static double secant_susceptibility(const ll_material *m, double h)
{
    double b;
    const double probe = fabs(h) > 1 ? h : 1;
    ll_material_b(m, probe, &b, NULL);
    return b / (LL_MU0 * probe) - 1;
}

/* mu0 integral M . H_coil dV: along the string the solved magnetisation, across it that of a round wire in a field across
 * it, 2 chi / (2 + chi) H. */
static double linkage_of(const ll_track *t, const ll_string *string)
{
    const double area = LL_PI * string->core_diameter_m * string->core_diameter_m / 4;
    double sum = 0;
    for (size_t e = 0; e + 1 < t->nodes; e++) {
        const double h = t->h_along[e], chi = secant_susceptibility(string->material, h);
        const double across = 2 * chi / (2 + chi);
        const double half = 0.5 * (t->y[e + 1] - t->y[e]);
        for (size_t g = 2 * e; g < 2 * e + 2; g++)
            sum += half * (chi * h * t->h_coil[g].y +
                           across * (t->h[g].x * t->h_coil[g].x + t->h[g].z * t->h_coil[g].z));
    }
    return LL_MU0 * area * sum;
}

/* Magnetises the string where it stands; once alone, once with the steel's answer to that. */
static ll_status magnetise(const ll_solution *s, const ll_string *string, double x_m, double z_m,
                           ll_track *t)
{
    place(t, x_m, z_m);
    ll_status status = check_clear(ll_solution_scene(s), t, string->diameter_m / 2);
    if (!status)
        status = bias_field(s, t);
    for (int round = 0; round < 2 && !status; round++) {
        if (round == 1)
            status = add_response(s, t, x_m, z_m);
        integrate_psi(t);
        if (!status)
            status = ll_wire_magnetise(t->nodes, t->y, string->core_diameter_m / 2,
                                       string->material, t->psi, t->h_along, t->charge);
    }
    return status;
}

static bool is_silent(const ll_string *string)
{
    return ll_material_kind(string->material) != LL_STEEL;
}

static ll_status check(const ll_solution *s, size_t coil, const ll_string *string)
{
    if (coil >= ll_scene_coil_count(ll_solution_scene(s)))
        return LL_NO_COIL;
    if (!(string->diameter_m > 0) || !(string->core_diameter_m > 0) ||
        string->core_diameter_m > string->diameter_m)
        return LL_BAD_SIZE;
    return LL_OK;
}

ll_status ll_string_linkage(const ll_solution *s, size_t coil, const ll_string *string, size_t n,
                            const double *x_m, const double *z_m, double *linkage_wb)
{
    ll_status status = check(s, coil, string);
    if (status)
        return status;
    ll_track track;
    double *linkage = calloc(n + 1, sizeof *linkage);
    if (!linkage)
        return LL_NO_MEMORY;
    status = track_new(ll_solution_scene(s), &track);
    if (status) {
        free(linkage);
        return status;
    }
    for (size_t i = 0; i < n && !status && !is_silent(string); i++) {
        status = magnetise(s, string, x_m[i], z_m[i], &track);
        if (!status)
            status = ll_solution_coil_h(s, coil, track.points, track.at, track.h_coil);
        if (!status)
            linkage[i] = linkage_of(&track, string);
    }
    if (!status)
        memcpy(linkage_wb, linkage, n * sizeof *linkage);
    track_clear(&track);
    free(linkage);
    return status;
}

ll_status ll_string_gradient(const ll_solution *s, size_t coil, const ll_string *string,
                             double *dz_wb_m, double *dx_wb_m)
{
    const double x[4] = {string->x_m, string->x_m, string->x_m - step_m, string->x_m + step_m};
    const double z[4] = {string->z_m - step_m, string->z_m + step_m, string->z_m, string->z_m};
    double linkage[4];
    const ll_status status = ll_string_linkage(s, coil, string, 4, x, z, linkage);
    if (status)
        return status;
    *dz_wb_m = (linkage[1] - linkage[0]) / (2 * step_m);
    *dx_wb_m = (linkage[3] - linkage[2]) / (2 * step_m);
    return LL_OK;
}

double ll_string_tension_n(double mass_kg_m, double scale_m, double frequency_hz)
{
    const double speed = 2 * scale_m * frequency_hz;
    return mass_kg_m * speed * speed;
}

double ll_string_plain_mass_kg_m(double diameter_m, double density_kg_m3)
{
    return density_kg_m3 * LL_PI * diameter_m * diameter_m / 4;
}
