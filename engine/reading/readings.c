/* What is read from a solution: fields, section means, inductances.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading/readings.h"
#include "base/constants.h"
#include "base/dense.h"
#include "base/parallel.h"
#include "field/source.h"
#include "magnetics/coil_cache.h"
#include "magnetics/solution_data.h"
#include "reading/section.h"

#include <stdlib.h>
#include <string.h>

/* The part that holds a point, or the number of parts. */
static size_t part_at(const ll_scene *scene, ll_vec3 point_m)
{
    for (size_t i = 0; i < scene->parts; i++) {
        const ll_part *p = &scene->part[i];
        if (ll_shape_depth_m(&p->shape, ll_to_own(&p->pose, point_m)) > 0)
            return i;
    }
    return scene->parts;
}

/* B / mu0 inside a part from H that the sources and the layers of all bodies give there: in a part that is no body, and in
 * one whose only layer is the charge of its magnetisation. */
static ll_vec3 b_by_layers(const ll_solution *s, size_t part, ll_vec3 h)
{
    const ll_part *p = &s->scene->part[part];
    return ll_add(ll_scale(ll_material_mu_r(p->material), h), ll_source_magnetisation(s, part));
}

/* Whether a part is a body of higher degree. */
static bool has_form(const ll_solution *s, size_t part)
{
    return s->forms && ll_form_solution_has(s->forms, part);
}

/* B in tesla inside a part whose law is in its finite elements, from H of the sources there. */
static ll_status b_by_elements(const ll_solution *s, size_t part, ll_vec3 point_m, ll_vec3 source_h,
                               ll_vec3 *b_t)
{
    size_t region;
    if (has_form(s, part)) {
        *b_t = ll_scale(LL_MU0, ll_form_solution_b_inside(s->forms, part, point_m));
        return LL_OK;
    }
    const ll_body *body = ll_system_body_of(s->system, part, &region);
    const ll_vec3 added = body->kind == LL_TOTAL ? ll_vec(0, 0, 0) : source_h;
    ll_vec3 h, b;
    const ll_status status =
        ll_body_field(body, region, s->bias.x + body->w, point_m, added, &h, &b);
    if (!status)
        *b_t = ll_scale(LL_MU0, b);
    return status;
}

/* B in tesla from H of the sources and of everything at one point. */
static ll_status b_at(const ll_solution *s, ll_vec3 point_m, ll_vec3 source_h, ll_vec3 h,
                      ll_vec3 *b_t)
{
    const size_t part = part_at(s->scene, point_m);
    if (part == s->scene->parts) {
        *b_t = ll_scale(LL_MU0, h);
        return LL_OK;
    }
    size_t region;
    const ll_body *body = ll_system_body_of(s->system, part, &region);
    if (has_form(s, part) || (body && body->kind != LL_CHARGES))
        return b_by_elements(s, part, point_m, source_h, b_t);
    *b_t = ll_scale(LL_MU0, b_by_layers(s, part, h));
    return LL_OK;
}

/* H of the sources in h[0..n], with the bodies' added in h[n..2n]. */
static ll_status fields_at(const ll_solution *s, size_t n, const ll_vec3 *points_m, ll_vec3 *h)
{
    const ll_status status = ll_sources_h(s, n, points_m, h);
    if (status)
        return status;
    memcpy(h + n, h, n * sizeof *h);
    if (s->forms)
        ll_form_solution_add_h(s->forms, &s->forms->bias, n, points_m, h + n);
    else
        ll_system_field(s->system, s->bias.densities, n, points_m, h + n);
    return LL_OK;
}

ll_status ll_solution_b(const ll_solution *s, size_t n, const ll_vec3 *points_m, ll_vec3 *b_t)
{
    ll_vec3 *h = malloc((3 * n + 1) * sizeof *h);
    if (!h)
        return LL_NO_MEMORY;
    ll_status status = fields_at(s, n, points_m, h);
    const size_t good = status ? 0 : n;
#pragma omp parallel for schedule(dynamic, 8) if (good > 8)
    for (size_t i = 0; i < good; i++)
        ll_keep_worse(&status, b_at(s, points_m[i], h[i], h[n + i], &h[2 * n + i]));
    if (!status)
        memcpy(b_t, h + 2 * n, n * sizeof *b_t);
    free(h);
    return status;
}

/* Points spread evenly across a section of a part; returns how many. */
static size_t spread_points(const ll_part *part, double z_m, size_t across, ll_vec3 *at)
{
    const double rx = ll_shape_reach_m(&part->shape, &part->pose.rotation, ll_vec(1, 0, 0));
    const double ry = ll_shape_reach_m(&part->shape, &part->pose.rotation, ll_vec(0, 1, 0));
    size_t n = 0;
    for (size_t k = 0; k < across * across; k++) {
        const size_t row = k / across, place = k % across;
        const double u = (2 * (double)row + 1) / (double)across - 1;
        const double v = (2 * (double)place + 1) / (double)across - 1;
        const ll_vec3 p =
            ll_vec(part->pose.origin_m.x + rx * u, part->pose.origin_m.y + ry * v, z_m);
        if (ll_shape_depth_m(&part->shape, ll_to_own(&part->pose, p)) > 0)
            at[n++] = p;
    }
    return n;
}

/* Mean of Bz over such points: all of it (by layers), or only the sources' own mu0 (H + M). */
static ll_status section_by_points(const ll_solution *s, size_t index, double z_m, bool by_layers,
                                   double *bz_t)
{
    enum { ACROSS = 48, MOST = ACROSS * ACROSS };
    ll_vec3 *at = malloc(3 * MOST * sizeof *at);
    if (!at)
        return LL_NO_MEMORY;
    const size_t n = spread_points(&s->scene->part[index], z_m, ACROSS, at);
    ll_vec3 *h = at + MOST;
    const ll_status status = n ? fields_at(s, n, at, h) : LL_OUTSIDE_PART;
    const ll_vec3 m = ll_source_magnetisation(s, index);
    double sum = 0;
    for (size_t k = 0; k < n && !status; k++)
        sum += by_layers ? b_by_layers(s, index, h[n + k]).z : h[k].z + m.z;
    if (!status)
        *bz_t = LL_MU0 * sum / (double)n;
    free(at);
    return status;
}

/* The same of a magnet's own closed-form field alone. */
static ll_status section_of_own(const ll_solution *s, size_t index, double z_m, double *bz_t)
{
    enum { ACROSS = 48, MOST = ACROSS * ACROSS };
    const ll_part *part = &s->scene->part[index];
    ll_vec3 *at = malloc(2 * MOST * sizeof *at);
    if (!at)
        return LL_NO_MEMORY;
    const size_t n = spread_points(part, z_m, ACROSS, at);
    ll_vec3 *h = at + MOST;
    const ll_vec3 m = ll_source_magnetisation(s, index);
    const ll_status status =
        n ? ll_magnet_h(&part->shape, &part->pose, m, n, at, h) : LL_OUTSIDE_PART;
    double sum = 0;
    for (size_t k = 0; k < n && !status; k++)
        sum += h[k].z + m.z;
    if (!status)
        *bz_t = LL_MU0 * sum / (double)n;
    free(at);
    return status;
}

static ll_status section_by_forms(const ll_solution *s, size_t part, double z_m, double *bz_t)
{
    double own = 0;
    ll_status status = LL_OK;
    if (!ll_form_solution_is_whole(s->forms, part))
        status = section_of_own(s, part, z_m, &own);
    if (!status)
        status = ll_form_solution_section(s->forms, part, z_m, bz_t);
    if (!status)
        *bz_t += own;
    return status;
}

ll_status ll_solution_section_bz(const ll_solution *s, size_t part, double z_m, double *bz_t)
{
    if (part >= s->scene->parts)
        return LL_NO_PART;
    if (has_form(s, part))
        return section_by_forms(s, part, z_m, bz_t);
    size_t region;
    const ll_body *body = ll_system_body_of(s->system, part, &region);
    const bool by_layers = !body || body->kind == LL_CHARGES;
    double sources = 0, own = 0;
    ll_status status = LL_OK;
    if (by_layers || body->kind == LL_REACTION)
        status = section_by_points(s, part, z_m, by_layers, &sources);
    if (!by_layers && !status)
        status =
            ll_body_section(body, region, s->bias.x + body->w, s->bias.x + body->lambda, z_m, &own);
    if (!status)
        *bz_t = sources + own;
    return status;
}

ll_status ll_solution_sections_bz(const ll_solution *s, size_t part, double z_m, double *bz_t)
{
    const double beside = 0.25; /* in the part's smallest size */
    double bz[LL_SECTIONS];
    ll_status status = ll_solution_section_bz(s, part, z_m, &bz[0]);
    if (status)
        return status;
    const ll_vec3 size = ll_scene_part(s->scene, part)->shape.size_m;
    const double step_m = beside * fmin(size.x, fmin(size.y, size.z));
    for (int k = 1; k < LL_SECTIONS && !status; k++) {
        status = ll_solution_section_bz(s, part, z_m + (k == 1 ? step_m : -step_m), &bz[k]);
        if (status == LL_OUTSIDE_PART) {
            bz[k] = bz[0];
            status = LL_OK;
        }
    }
    if (!status)
        memcpy(bz_t, bz, sizeof bz);
    return status;
}

ll_status ll_solution_coil_h(const ll_solution *s, size_t coil, size_t n, const ll_vec3 *points_m,
                             ll_vec3 *h_per_m)
{
    ll_status status = ll_coil_answered(s, coil);
    if (status)
        return status;
    const ll_coil *c = &s->scene->coil[coil];
    status = ll_coil_h(&c->shape, &c->pose, c->turns, n, points_m, h_per_m);
    if (status)
        return status;
    if (s->forms)
        ll_form_solution_add_h(s->forms, &s->forms->coil[coil], n, points_m, h_per_m);
    else
        ll_system_field(s->system, s->coil[coil].densities, n, points_m, h_per_m);
    return LL_OK;
}

/* The coils' own fields, each times its share. */
static ll_status coils_h(const ll_solution *s, const double *share, size_t n,
                         const ll_vec3 *points_m, ll_vec3 *h_per_m)
{
    ll_vec3 *one = malloc((n + 1) * sizeof *one);
    ll_status status = one ? LL_OK : LL_NO_MEMORY;
    memset(h_per_m, 0, n * sizeof *h_per_m);
    for (size_t c = 0; c < s->scene->coils && !status; c++) {
        if (share[c] == 0)
            continue;
        const ll_coil *coil = &s->scene->coil[c];
        status = ll_coil_answered(s, c);
        if (!status)
            status = ll_coil_h(&coil->shape, &coil->pose, coil->turns, n, points_m, one);
        if (!status && !s->forms)
            ll_system_field(s->system, s->coil[c].densities, n, points_m, one);
        for (size_t i = 0; i < n && !status; i++)
            h_per_m[i] = ll_add(h_per_m[i], ll_scale(share[c], one[i]));
    }
    free(one);
    return status;
}

ll_status ll_solution_h_along(const ll_solution *s, const double *share, size_t n,
                              const ll_vec3 *points_m, ll_vec3 *h_a_m, ll_vec3 *h_coil_per_m)
{
    ll_vec3 *h = malloc((2 * n + 1) * sizeof *h);
    ll_status status = h ? ll_sources_h(s, n, points_m, h) : LL_NO_MEMORY;
    if (!status && share)
        status = coils_h(s, share, n, points_m, h + n);
    if (!status && s->forms)
        status = ll_form_solution_add_h_along(s->forms, share, n, points_m, h, h + n);
    else if (!status)
        ll_system_field(s->system, s->bias.densities, n, points_m, h);
    if (!status) {
        memcpy(h_a_m, h, n * sizeof *h);
        if (share)
            memcpy(h_coil_per_m, h + n, n * sizeof *h);
    }
    free(h);
    return status;
}

ll_status ll_solution_air_inductance(const ll_solution *s, size_t i, size_t j, double *l_h)
{
    if (i >= s->scene->coils || j >= s->scene->coils)
        return LL_NO_COIL;
    const ll_coil *a = &s->scene->coil[i], *b = &s->scene->coil[j];
    return ll_coils_in_air(a, b, l_h);
}

static ll_status added_by_weights(const ll_solution *s, size_t i, size_t j, double *l_h)
{
    const size_t n = ll_system_unknowns(s->system);
    double *weight = malloc((n + 1) * sizeof *weight);
    const ll_status status = weight ? ll_coil_weights(s, i, weight) : LL_NO_MEMORY;
    if (!status)
        *l_h = LL_MU0 * ll_dense_dot(n, weight, s->coil[j].x);
    free(weight);
    return status;
}

ll_status ll_solution_inductance(const ll_solution *s, size_t i, size_t j, double *l_h)
{
    double air, added = 0;
    ll_status status = ll_solution_air_inductance(s, i, j, &air);
    if (!status)
        status = ll_coil_answered(s, j);
    if (!status && s->forms) {
        status = ll_form_solution_coil_flux(s->forms, i, j, &added);
        added *= LL_MU0;
    } else if (!status)
        status = added_by_weights(s, i, j, &added);
    if (!status)
        *l_h = air + added;
    return status;
}
