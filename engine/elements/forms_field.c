/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/forms_field.h"
#include "base/gsl.h"
#include "base/parallel.h"
#include "elements/point_sources.h"

#include <gsl/gsl_interp.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* How many numbers a body's layers and the sources at its surface points take. */
static size_t size_of(const ll_body_form *form)
{
    return form->layers + 2 * form->surface;
}

/* Charges and dipoles at the surface points, which stand for the layers from cloud_gap_m on. */
static void fill_cloud(const ll_body_form *form, const double *x, double *dipole, double *charge)
{
    form->kind->trace(form, x, dipole, charge);
    for (size_t i = 0; i < form->surface; i++) {
        dipole[i] *= form->area_m2[i];
        charge[i] *= form->area_m2[i];
    }
}

size_t ll_coupled_forms_layers_size(const ll_coupled_forms *c)
{
    size_t all = 0;
    for (size_t b = 0; b < c->count; b++)
        all += size_of(c->body[b].form);
    return all;
}

double *ll_coupled_forms_layers(const ll_coupled_forms *c, const double *x)
{
    double *out = malloc((ll_coupled_forms_layers_size(c) + 1) * sizeof *out), *next = out;
    for (size_t b = 0; out && b < c->count; b++) {
        const ll_body_form *form = c->body[b].form;
        double *dipole = next + form->layers;
        form->kind->find_layers(form, x + c->start[b], next);
        fill_cloud(form, x + c->start[b], dipole, dipole + form->surface);
        next += size_of(form);
    }
    return out;
}

/* The sources that stand for a body from afar, in the order of ll_coupled_forms_layers. */
static ll_cloud_sources cloud_of(const ll_body_form *form, const double *layers)
{
    const double *dipole = layers + form->layers;
    return (ll_cloud_sources){form->surface, form->surface_m, form->normal, dipole + form->surface,
                              dipole};
}

/* H at a point of the body's own frame, from afar, of each set of layers: h[k][stride]. */
static void add_cloud(const ll_body_form *form, size_t count, const double *const *layers,
                      ll_vec3 at, ll_vec3 *h, size_t stride)
{
    ll_cloud_sources s[LL_ALONG_MOST];
    ll_vec3 here[LL_ALONG_MOST] = {{0, 0, 0}}, image[LL_ALONG_MOST] = {{0, 0, 0}};
    for (size_t k = 0; k < count; k++)
        s[k] = cloud_of(form, layers[k]);
    ll_clouds_add_h(count, s, at, here);
    /* Each point of a half stands for itself and its image: what the image does here the point does at this place's image. */
    if (form->half)
        ll_clouds_add_h(count, s, ll_vec(at.x, -at.y, at.z), image);
    const double share = form->half ? 0.5 : 1;
    for (size_t k = 0; k < count; k++) {
        const ll_vec3 i = ll_vec(image[k].x, -image[k].y, image[k].z);
        h[k * stride] = ll_add(h[k * stride], ll_scale(share, ll_add(here[k], i)));
    }
}

/* Points that are asked together: a form may share what it does for all of them. */
enum { POINTS_AT_ONCE = 64 };

/* Those near a body, and where their fields belong. */
typedef struct ll_near {
    size_t some, from[POINTS_AT_ONCE];
    ll_vec3 at[POINTS_AT_ONCE];
} ll_near;

static void add_near(const ll_body_form *form, size_t count, const double *const *layers,
                     ll_near *near, ll_vec3 *h, size_t stride)
{
    ll_vec3 own[POINTS_AT_ONCE];
    for (size_t k = 0; k < count && near->some > 0; k++) {
        memset(own, 0, sizeof own);
        form->kind->add_field(form, layers[k], near->some, near->at, NULL, own);
        for (size_t i = 0; i < near->some; i++) {
            ll_vec3 *to = &h[k * stride + near->from[i]];
            *to = ll_add(*to, own[i]);
        }
    }
    near->some = 0;
}

/* H of one body at points of its own frame, h[count][stride] += : its surface points' where they are far, its layers' at the others
 * together. */
static void add_h_of_body(const ll_body_form *form, size_t count, const double *const *layers,
                          size_t n, const ll_vec3 *at, ll_vec3 *h, size_t stride)
{
    ll_near near = {.some = 0};
    for (size_t i = 0; i < n; i++) {
        if (form->cloud_gap_m > 0 && form->kind->distance_m(form, at[i]) >= form->cloud_gap_m) {
            add_cloud(form, count, layers, at[i], h + i, stride);
            continue;
        }
        near.at[near.some] = at[i];
        near.from[near.some++] = i;
        if (near.some == POINTS_AT_ONCE)
            add_near(form, count, layers, &near, h, stride);
    }
    add_near(form, count, layers, &near, h, stride);
}

static void add_chunk(const ll_coupled_forms *c, const double *layers, size_t n,
                      const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    ll_vec3 at[POINTS_AT_ONCE], own[POINTS_AT_ONCE];
    for (size_t b = 0; b < c->count; b++) {
        const ll_placed_form *body = &c->body[b];
        for (size_t i = 0; i < n; i++) {
            at[i] = ll_to_own(&body->pose, points_m[i]);
            own[i] = ll_vec(0, 0, 0);
        }
        add_h_of_body(body->form, 1, &layers, n, at, own, n);
        for (size_t i = 0; i < n; i++)
            h_a_m[i] = ll_add(h_a_m[i], ll_rotate(&body->pose.rotation, own[i]));
        layers += size_of(body->form);
    }
}

void ll_coupled_forms_add_h(const ll_coupled_forms *c, const double *layers, size_t n,
                            const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
#pragma omp parallel for schedule(dynamic, 1) if (n > POINTS_AT_ONCE)
    for (size_t from = 0; from < n; from += POINTS_AT_ONCE)
        add_chunk(c, layers, n - from < POINTS_AT_ONCE ? n - from : POINTS_AT_ONCE, points_m + from,
                  h_a_m + from);
}

/* ---- along a line ---- */

/* How far apart a body is asked, of its distance: a spline's error is a few times the fourth power of it. */
static const double share_of_distance = 0.12;

/* One body's points: all of them in its own frame, and those that are picked. */
typedef struct ll_picks {
    size_t n, some;
    size_t *index;    /* [some] rising, the first and the last among them */
    double *along_m;  /* [n] */
    double *picked_m; /* [some] */
    double *value;    /* [some] room for one component */
    ll_vec3 *at;      /* [n] own frame; then those of the picked alone */
} ll_picks;

static void picks_clear(ll_picks *p)
{
    free(p->index);
    free(p->along_m);
    free(p->at);
}

static ll_status picks_alloc(size_t n, ll_picks *p)
{
    *p = (ll_picks){.n = n,
                    .index = malloc(n * sizeof *p->index),
                    .along_m = malloc(3 * n * sizeof *p->along_m),
                    .at = malloc(n * sizeof *p->at)};
    if (p->index && p->along_m && p->at) {
        p->picked_m = p->along_m + n;
        p->value = p->along_m + 2 * n;
        return LL_OK;
    }
    picks_clear(p);
    return LL_NO_MEMORY;
}

/* How far the next pick may lie from `last`: on the way there no point may be nearer to the body than that wants. */
static size_t next_pick(const ll_picks *p, const double *step, size_t last)
{
    size_t next = last + 1;
    double allowed = fmin(step[last], step[next]);
    /* A spline wants some points in any case. */
    while (next + 1 < p->n && next - last < p->n / 8) {
        allowed = fmin(allowed, step[next + 1]);
        if (p->along_m[next + 1] - p->along_m[last] > allowed)
            break;
        next++;
    }
    return next;
}

static ll_status pick(const ll_placed_form *body, size_t n, const ll_vec3 *points_m, ll_picks *p)
{
    const ll_status status = picks_alloc(n, p);
    double *step = status ? NULL : p->value;
    for (size_t i = 0; i < n && !status; i++) {
        p->at[i] = ll_to_own(&body->pose, points_m[i]);
        p->along_m[i] = ll_norm(ll_sub(points_m[i], points_m[0]));
        step[i] = share_of_distance * body->form->kind->distance_m(body->form, p->at[i]);
    }
    for (size_t i = 0; i < n && !status; i = i + 1 < n ? next_pick(p, step, i) : n)
        p->index[p->some++] = i;
    for (size_t k = 0; k < p->some && !status; k++) {
        p->at[k] = p->at[p->index[k]];
        p->picked_m[k] = p->along_m[p->index[k]];
    }
    return status;
}

static double *component(ll_vec3 *v, int k)
{
    return k == 0 ? &v->x : k == 1 ? &v->y : &v->z;
}

/* h[n] += one component from its values at the picked points. */
static ll_status spread(const ll_picks *p, int k, gsl_interp *spline, ll_vec3 *h)
{
    if (p->some < p->n && gsl_interp_init(spline, p->picked_m, p->value, p->some))
        return LL_LIBRARY;
    for (size_t i = 0, at = 0; i < p->n; i++) {
        double value;
        at += at + 1 < p->some && p->index[at + 1] <= i;
        if (p->index[at] == i)
            value = p->value[at];
        else if (gsl_interp_eval_e(spline, p->picked_m, p->value, p->along_m[i], NULL, &value))
            return LL_LIBRARY;
        *component(&h[i], k) += value;
    }
    return LL_OK;
}

static ll_status spread_all(const ll_placed_form *body, const ll_picks *p, size_t count,
                            const ll_vec3 *own, ll_vec3 *h)
{
    gsl_interp *spline = p->some < p->n ? gsl_interp_alloc(gsl_interp_cspline, p->some) : NULL;
    ll_status status = spline || p->some == p->n ? LL_OK : LL_NO_MEMORY;
    for (size_t set = 0; set < count; set++)
        for (int k = 0; k < 3 && !status; k++) {
            for (size_t i = 0; i < p->some; i++) {
                ll_vec3 v = ll_rotate(&body->pose.rotation, own[set * p->some + i]);
                p->value[i] = *component(&v, k);
            }
            status = spread(p, k, spline, h + set * p->n);
        }
    if (spline)
        gsl_interp_free(spline);
    return status;
}

/* Of one body, h[count][n] += in world axes. */
static ll_status add_body_along(const ll_placed_form *body, size_t count,
                                const double *const *layers, size_t n, const ll_vec3 *points_m,
                                ll_vec3 *h)
{
    ll_picks p;
    ll_status status = pick(body, n, points_m, &p);
    if (status)
        return status;
    ll_vec3 *own = calloc(count * p.some + 1, sizeof *own);
    status = own ? LL_OK : LL_NO_MEMORY;
    if (!status) {
        add_h_of_body(body->form, count, layers, p.some, p.at, own, p.some);
        status = spread_all(body, &p, count, own, h);
    }
    free(own);
    picks_clear(&p);
    return status;
}

/* The bodies side by side, and added in their order. */
ll_status ll_coupled_forms_add_h_along(const ll_coupled_forms *c, size_t count,
                                       const double *const *layers, size_t n,
                                       const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    ll_status status = LL_OK;
    ll_vec3 *h = calloc(c->count * count * n + 1, sizeof *h);
    if (!h)
        return LL_NO_MEMORY;
#pragma omp parallel for schedule(dynamic, 1) if (c->count > 1 && n > POINTS_AT_ONCE)
    for (size_t b = 0; b < c->count; b++) {
        const double *own[LL_ALONG_MOST];
        size_t start = 0;
        for (size_t i = 0; i < b; i++)
            start += size_of(c->body[i].form);
        for (size_t k = 0; k < count; k++)
            own[k] = layers[k] + start;
        ll_keep_worse(&status,
                      add_body_along(&c->body[b], count, own, n, points_m, h + b * count * n));
    }
    for (size_t i = 0; i < c->count * count * n && !status; i++)
        h_a_m[i % (count * n)] = ll_add(h_a_m[i % (count * n)], h[i]);
    free(h);
    return status;
}
