/* The steel's answer to charges from outside, such as those of a string.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/dense.h"
#include "elements/forms_field.h"
#include "elements/point_sources.h"
#include "magnetics/solution_data.h"
#include "reading/readings.h"

#include <stdlib.h>
#include <string.h>

typedef struct ll_charges {
    size_t count;
    const ll_vec3 *at_m;
    const double *charge_a_m;
} ll_charges;

static ll_status charges_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                   double *psi)
{
    (void)b;
    const ll_charges *c = context;
#pragma omp parallel for
    for (size_t i = 0; i < n; i++) {
        psi[i] = 0;
        ll_charges_add_potential(c->count, c->at_m, c->charge_a_m, points_m[i], &psi[i]);
    }
    return LL_OK;
}

struct ll_response {
    const ll_solution *solution;
    ll_answer answer; /* of tetrahedra, or */
    const ll_coupled_forms *forms;
    double *layers;
};

void ll_response_free(ll_response *r)
{
    if (!r)
        return;
    ll_answer_clear(&r->answer);
    free(r->layers);
    free(r);
}

/* y[n] += x, or *y = x where there is none yet; x is taken over. */
static void add_or_keep(size_t n, double *x, double **y)
{
    if (*y)
        ll_dense_add(n, 1, x, *y);
    else {
        *y = x;
        return;
    }
    free(x);
}

static ll_status add_of_forms(ll_response *r, double tolerance, const ll_charges *c)
{
    double *layers;
    const ll_status status = ll_form_solution_response(r->solution->forms, tolerance, c->count,
                                                       c->at_m, c->charge_a_m, &r->forms, &layers);
    if (!status)
        add_or_keep(ll_coupled_forms_layers_size(r->forms), layers, &r->layers);
    return status;
}

static ll_status add_of_tetrahedra(ll_response *r, double tolerance, ll_charges *c)
{
    const ll_system *s = r->solution->system;
    ll_answer more;
    size_t steps;
    const ll_status status = ll_answer_find(s, charges_potential, c, tolerance, &more, &steps);
    if (!status) {
        add_or_keep(ll_system_unknowns(s), more.x, &r->answer.x);
        add_or_keep(ll_system_densities_size(s), more.densities, &r->answer.densities);
    }
    return status;
}

ll_status ll_response_add(ll_response *r, double tolerance, size_t m, const ll_vec3 *charges_at_m,
                          const double *charge_a_m)
{
    ll_charges charges = {m, charges_at_m, charge_a_m};
    return r->solution->forms ? add_of_forms(r, tolerance, &charges)
                              : add_of_tetrahedra(r, tolerance, &charges);
}

ll_status ll_response_new(const ll_solution *s, double tolerance, size_t m,
                          const ll_vec3 *charges_at_m, const double *charge_a_m, ll_response **out)
{
    ll_response *r = calloc(1, sizeof *r);
    if (!r)
        return LL_NO_MEMORY;
    r->solution = s;
    const ll_status status = ll_response_add(r, tolerance, m, charges_at_m, charge_a_m);
    if (status)
        ll_response_free(r);
    else
        *out = r;
    return status;
}

ll_status ll_response_h(const ll_response *r, size_t n, const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    ll_vec3 *h = calloc(n + 1, sizeof *h);
    if (!h)
        return LL_NO_MEMORY;
    const double *layers = r->layers;
    ll_status status = LL_OK;
    if (r->forms)
        status = ll_coupled_forms_add_h_along(r->forms, 1, &layers, n, points_m, h);
    else
        ll_system_field(r->solution->system, r->answer.densities, n, points_m, h);
    if (!status)
        memcpy(h_a_m, h, n * sizeof *h);
    free(h);
    return status;
}
