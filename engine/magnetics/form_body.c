/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/form_body.h"
#include "base/constants.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool is_magnet(const ll_form_body *body)
{
    return ll_material_kind(body->region.material) == LL_MAGNET;
}

static bool is_bent_magnet(const ll_form_body *body)
{
    return is_magnet(body) && !body->region.linear;
}

ll_status ll_form_body_prepare(ll_form_body *body)
{
    const size_t n = body->placed.form->places;
    body->tangent = calloc(6 * n, sizeof *body->tangent);
    if (!body->tangent)
        return LL_NO_MEMORY;
    if (!is_bent_magnet(body))
        return LL_OK;
    body->state_h = malloc(n * sizeof *body->state_h);
    for (size_t i = 0; body->state_h && i < n; i++)
        body->state_h[i] = body->start_h_a_m;
    return body->state_h ? LL_OK : LL_NO_MEMORY;
}

void ll_form_body_clear(ll_form_body *body)
{
    ll_material_free((ll_material *)body->region.material);
    ll_release(body->placed.form);
    free(body->state_h);
    free(body->lowest_h);
    ll_hysteresis_free(body->loop);
    free(body->turns);
    free(body->tangent);
    free(body->own_h);
    memset(body, 0, sizeof *body);
}

/* A place of a magnet, for its law along the axis. */
typedef struct ll_law_place {
    const ll_form_body *body;
    size_t place;
} ll_law_place;

/* B in tesla along the axis, and its slope (or NULL). */
static double axial_b(const void *at, double h, double *slope)
{
    const ll_form_body *body = ((const ll_law_place *)at)->body;
    const size_t i = ((const ll_law_place *)at)->place;
    if (body->turns)
        return ll_hysteresis_b(body->loop, &body->turns[i], h, slope);
    return ll_region_b(&body->region, h, body->lowest_h ? body->lowest_h[i] : HUGE_VAL, slope);
}

/* B / mu0 of a magnet along its axis, from H along it. */
static double along_magnet(const ll_form_body *body, size_t place, double along)
{
    const ll_law_place at = {body, place};
    if (!body->state_h)
        return axial_b(&at, along, NULL) / LL_MU0;
    double slope;
    const double state = body->state_h[place];
    const double b = axial_b(&at, state, &slope);
    return (b + slope * (along - state)) / LL_MU0;
}

static double steel_permeability(const ll_region *r, double h, double *slope)
{
    double b, db;
    ll_material_b(r->material, h, &b, &db);
    *slope = db / LL_MU0;
    return (h > 0 ? b / h : db) / LL_MU0;
}

/* mu (h + own) + M, less the magnet's own own + M. */
static void b_beside_own(const ll_form_body *body, double *h)
{
    const double mu = ll_material_mu_r(body->region.material);
    for (size_t i = 0; i < 3 * body->placed.form->places; i++)
        h[i] = mu * h[i] + (mu - 1) * body->own_h[i];
}

void ll_form_body_b(const ll_form_body *body, double *h)
{
    if (body->own_h) {
        b_beside_own(body, h);
        return;
    }
    const size_t n = body->placed.form->places;
    const ll_vec3 a = body->region.axis;
    const double mu = ll_material_mu_r(body->region.material);
    const bool magnet = is_magnet(body);
    for (size_t i = 0; i < n; i++) {
        const double x = h[i], y = h[n + i], z = h[2 * n + i];
        double scale = mu, extra = 0, unused;
        if (magnet) {
            const double along = x * a.x + y * a.y + z * a.z;
            extra = along_magnet(body, i, along) - mu * along;
        } else if (!body->region.linear)
            scale = steel_permeability(&body->region, sqrt(x * x + y * y + z * z), &unused);
        h[i] = scale * x + extra * a.x;
        h[n + i] = scale * y + extra * a.y;
        h[2 * n + i] = scale * z + extra * a.z;
    }
}

ll_vec3 ll_form_body_law(const ll_form_body *body, size_t place, ll_vec3 h)
{
    const ll_region *r = &body->region;
    const double mu = ll_material_mu_r(r->material);
    if (is_magnet(body)) {
        const double along = ll_dot(h, r->axis);
        const double b = axial_b(&(ll_law_place){body, place}, along, NULL) / LL_MU0;
        return ll_add(ll_scale(mu, h), ll_scale(b - mu * along, r->axis));
    }
    double slope;
    return ll_scale(r->linear ? mu : steel_permeability(r, ll_norm(h), &slope), h);
}

/* across times one, and along the unit vector u so much more. */
static void put_tangent(double *t, size_t n, double across, double more, ll_vec3 u)
{
    t[0] = across + more * u.x * u.x;
    t[n] = across + more * u.y * u.y;
    t[2 * n] = across + more * u.z * u.z;
    t[3 * n] = more * u.y * u.z;
    t[4 * n] = more * u.x * u.z;
    t[5 * n] = more * u.x * u.y;
}

static void set_magnet(ll_form_body *body, const double *h, bool reversible)
{
    const size_t n = body->placed.form->places;
    const ll_region *r = &body->region;
    const double mu = ll_material_mu_r(r->material);
    for (size_t i = 0; i < n; i++) {
        double slope = LL_MU0 * mu;
        const double along = h[i] * r->axis.x + h[n + i] * r->axis.y + h[2 * n + i] * r->axis.z;
        if (!reversible && !r->linear)
            axial_b(&(ll_law_place){body, i}, body->state_h ? body->state_h[i] : along, &slope);
        put_tangent(body->tangent + i, n, mu, slope / LL_MU0 - mu, r->axis);
    }
}

static void set_steel(ll_form_body *body, const double *h)
{
    const size_t n = body->placed.form->places;
    const ll_region *r = &body->region;
    const double mu = ll_material_mu_r(r->material);
    for (size_t i = 0; i < n; i++) {
        const ll_vec3 own = ll_vec(h[i], h[n + i], h[2 * n + i]);
        const double size = ll_norm(own);
        double slope = mu, secant = mu;
        if (!r->linear)
            secant = steel_permeability(r, size, &slope);
        put_tangent(body->tangent + i, n, secant, size > 0 ? slope - secant : 0,
                    size > 0 ? ll_scale(1 / size, own) : ll_vec(0, 0, 1));
    }
}

void ll_form_body_set_tangent(ll_form_body *body, const double *h, bool reversible)
{
    if (is_magnet(body))
        set_magnet(body, h, reversible);
    else
        set_steel(body, h);
}

void ll_form_body_set_state(ll_form_body *body, const double *h)
{
    const size_t n = body->placed.form->places;
    const ll_vec3 a = body->region.axis;
    for (size_t i = 0; body->state_h && i < n; i++)
        body->state_h[i] = h[i] * a.x + h[n + i] * a.y + h[2 * n + i] * a.z;
}

void ll_form_body_project(ll_form_body *body, double load, double share, const double *h)
{
    if (!body->state_h)
        return;
    const size_t n = body->placed.form->places;
    const ll_vec3 a = body->region.axis;
    for (size_t i = 0; i < n; i++) {
        const double along = h[i] * a.x + h[n + i] * a.y + h[2 * n + i] * a.z;
        const double b = LL_MU0 * along_magnet(body, i, along), state = body->state_h[i];
        const ll_law_place at = {body, i};
        const double from = share < 1 ? axial_b(&at, state, NULL) + load * (state - along) : 0;
        body->state_h[i] = ll_axial_meet(axial_b, &at, load, along, from + share * (b - from));
    }
}
