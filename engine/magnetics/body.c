/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/body.h"
#include "base/constants.h"

#include <stdlib.h>
#include <string.h>

void ll_body_clear(ll_body *body)
{
    if (body->owns_interior)
        ll_interior_free(body->interior);
    ll_release(body->form);
    for (size_t r = 0; r < body->regions; r++)
        ll_material_free((ll_material *)body->region[r].material);
    free(body->region);
    free(body->psi);
    free(body->lowest_h);
    free(body->state_h);
    memset(body, 0, sizeof *body);
}

/* ---- the laws ---- */

double ll_region_b(const ll_region *r, double h, double lowest_h, double *slope)
{
    const double recoil = LL_MU0 * ll_material_mu_r(r->material);
    const double size = fabs(r->charge), sign = r->charge < 0 ? -1 : 1;
    double b, db;
    ll_material_b(r->material, sign * h, &b, &db);
    const double start = sign * lowest_h;
    if (isfinite(lowest_h) && sign * h > start) {
        double b_start;
        ll_material_b(r->material, start, &b_start, NULL);
        const double line = b_start + recoil * (sign * h - start);
        if (line < b) {
            b = line;
            db = recoil;
        }
    }
    if (slope)
        *slope = recoil + size * (db - recoil);
    return sign * (recoil * sign * h + size * (b - recoil * sign * h));
}

/* state_h: NULL, or where the law is straightened. */
static void magnet_law(const ll_region *r, ll_vec3 h, double lowest, const double *state_h,
                       ll_vec3 *b_mu0, ll_tensor *tangent)
{
    const double mu = ll_material_mu_r(r->material), along = ll_dot(h, r->axis);
    double slope;
    const double at = state_h ? *state_h : along;
    const double b = ll_region_b(r, at, lowest, &slope) + slope * (along - at);
    if (b_mu0)
        *b_mu0 = ll_add(ll_scale(mu, h), ll_scale(b / LL_MU0 - mu * along, r->axis));
    if (tangent)
        *tangent = (ll_tensor){mu, slope / LL_MU0 - mu, r->axis};
}

static void steel_law(const ll_region *r, ll_vec3 h, ll_vec3 *b_mu0, ll_tensor *tangent)
{
    const double size = ll_norm(h);
    double b, slope;
    ll_material_b(r->material, size, &b, &slope);
    const double secant = (size > 0 ? b / size : slope) / LL_MU0;
    if (b_mu0)
        *b_mu0 = ll_scale(secant, h);
    if (tangent)
        *tangent = (ll_tensor){secant, slope / LL_MU0 - secant,
                               size > 0 ? ll_scale(1 / size, h) : ll_vec(0, 0, 0)};
}

static double lowest_h(const ll_body *body, size_t t)
{
    return body->lowest_h ? body->lowest_h[t] : HUGE_VAL;
}

void ll_body_law(const ll_body *body, size_t t, ll_vec3 h, ll_vec3 *b_mu0, ll_tensor *tangent)
{
    const ll_region *r = &body->region[body->form->mesh->owner[t]];
    if (ll_material_kind(r->material) == LL_MAGNET)
        magnet_law(r, h, lowest_h(body, t), NULL, b_mu0, tangent);
    else
        steel_law(r, h, b_mu0, tangent);
}

ll_tensor ll_body_reversible(const ll_body *body, size_t t, ll_vec3 h)
{
    const ll_region *r = &body->region[body->form->mesh->owner[t]];
    ll_tensor tangent = {.across = ll_material_mu_r(r->material)};
    if (ll_material_kind(r->material) != LL_MAGNET)
        ll_body_law(body, t, h, NULL, &tangent);
    return tangent;
}

/* The law that Newton's method meets. */
static void law_in_work(const ll_body *body, size_t t, ll_vec3 h, ll_vec3 *b_mu0,
                        ll_tensor *tangent)
{
    const ll_region *r = &body->region[body->form->mesh->owner[t]];
    if (body->state_h && ll_material_kind(r->material) == LL_MAGNET)
        magnet_law(r, h, lowest_h(body, t), &body->state_h[t], b_mu0, tangent);
    else
        ll_body_law(body, t, h, b_mu0, tangent);
}

double ll_axial_meet(ll_axial_law *law, const void *place, double load, double h, double b)
{
    double low = -HUGE_VAL, high = HUGE_VAL, x = h;
    for (int k = 0; k < 60; k++) {
        double slope;
        const double excess = law(place, x, &slope) - b + load * (x - h);
        *(excess > 0 ? &high : &low) = x;
        double next = x - excess / (slope + load);
        if (next <= low || next >= high)
            next = 0.5 * (low + high);
        if (!isfinite(next) || fabs(next - x) < 1e-9 * fabs(x) + 1e-6)
            break;
        x = next;
    }
    return x;
}

/* A magnet's law in one tetrahedron. */
typedef struct ll_tet_law {
    const ll_region *region;
    double lowest;
} ll_tet_law;

static double tet_b(const void *place, double h, double *slope)
{
    const ll_tet_law *t = place;
    return ll_region_b(t->region, h, t->lowest, slope);
}

/* The next state of tetrahedron t, from H along the axis. */
static double next_state(const ll_body *body, size_t t, double load, double along)
{
    const ll_region *r = &body->region[body->form->mesh->owner[t]];
    const ll_tet_law law = {r, lowest_h(body, t)};
    const double state = body->state_h[t];
    double slope;
    const double b = tet_b(&law, state, &slope) + slope * (along - state);
    return ll_axial_meet(tet_b, &law, load, along, b);
}

ll_status ll_body_project(ll_body *body, double load, const double *w)
{
    if (body->kind != LL_REACTION)
        return LL_OK;
    const size_t tets = body->form->mesh->tets;
    const bool fresh = !body->state_h;
    if (fresh)
        body->state_h = malloc((tets + 1) * sizeof *body->state_h);
    if (!body->state_h)
        return LL_NO_MEMORY;
    for (size_t t = 0; t < tets; t++) {
        const ll_region *r = &body->region[body->form->mesh->owner[t]];
        const double along = ll_dot(ll_body_h(body, t, w), r->axis);
        body->state_h[t] = fresh ? along : next_state(body, t, load, along);
    }
    return LL_OK;
}

/* ---- finite elements with the law ---- */

static ll_vec3 minus_gradient(const ll_mesh *mesh, size_t t, const double *potential)
{
    return potential ? ll_scale(-1, ll_tet_gradient(mesh, t, potential)) : ll_vec(0, 0, 0);
}

ll_vec3 ll_body_h(const ll_body *body, size_t t, const double *w)
{
    const ll_mesh *mesh = body->form->mesh;
    return ll_add(minus_gradient(mesh, t, w), minus_gradient(mesh, t, body->psi));
}

void ll_body_outside(const ll_form *form, double *outside)
{
    for (size_t i = 0; i < form->dipole.count; i++)
        outside[i] = form->dipole.weight[i] / form->size_m;
}

static void fill_tangents(const ll_body *body, const double *w, bool reversible, ll_tensor *tensor)
{
    for (size_t t = 0; t < body->form->mesh->tets; t++) {
        const ll_vec3 h = ll_body_h(body, t, w);
        if (reversible)
            tensor[t] = ll_body_reversible(body, t, h);
        else
            law_in_work(body, t, h, NULL, &tensor[t]);
    }
}

ll_status ll_body_tangent(ll_body *body, const double *w, bool reversible, bool factorise)
{
    const ll_form *form = body->form;
    ll_status status = LL_OK;
    if (!body->owns_interior) {
        status = ll_interior_new(form->mesh, &body->interior);
        body->owns_interior = !status;
    }
    ll_tensor *tensor = calloc(form->mesh->tets, sizeof *tensor);
    double *outside = calloc(form->mesh->nodes, sizeof *outside);
    if (!status && !(tensor && outside))
        status = LL_NO_MEMORY;
    if (!status) {
        fill_tangents(body, w, reversible, tensor);
        ll_body_outside(form, outside);
        ll_interior_fill(body->interior, tensor);
        if (factorise)
            status = ll_interior_factorise(body->interior, outside);
        /* The charges of a magnet answer to chi alone, but its surface equation holds the space inside as well as outside: the
         * factor that preconditions is that of mu. */
        for (size_t t = 0; body->kind == LL_CHARGES && t < form->mesh->tets; t++)
            tensor[t].across -= 1;
        if (body->kind == LL_CHARGES)
            ll_interior_fill(body->interior, tensor);
    }
    free(tensor);
    free(outside);
    return status;
}

static ll_vec3 reference_in(const ll_body *body, size_t t)
{
    const ll_region *r = &body->region[body->form->mesh->owner[t]];
    return ll_scale(r->reference_a_m, r->axis);
}

void ll_body_residual(const ll_body *body, const double *w, double *residual)
{
    const ll_mesh *mesh = body->form->mesh;
    memset(residual, 0, mesh->nodes * sizeof *residual);
    for (size_t t = 0; t < mesh->tets; t++) {
        ll_vec3 hat[4], b;
        const double volume = ll_tet_hats(mesh, t, hat);
        law_in_work(body, t, ll_body_h(body, t, w), &b, NULL);
        if (body->kind == LL_CHARGES)
            b = ll_sub(b, ll_add(ll_body_h(body, t, w), reference_in(body, t)));
        if (body->kind == LL_REACTION)
            b = ll_sub(b, ll_add(minus_gradient(mesh, t, body->psi), reference_in(body, t)));
        for (int k = 0; k < 4; k++)
            residual[mesh->tet[t][k]] -= volume * ll_dot(b, hat[k]);
    }
}
