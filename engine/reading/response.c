/* The steel's answer to charges from outside, such as those of a string.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "elements/forms_field.h"
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
        double sum = 0;
        for (size_t k = 0; k < c->count; k++)
            sum += c->charge_a_m[k] / ll_norm(ll_sub(points_m[i], c->at_m[k]));
        psi[i] = sum / (4 * LL_PI);
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

ll_status ll_response_new(const ll_solution *s, double tolerance, size_t m,
                          const ll_vec3 *charges_at_m, const double *charge_a_m, ll_response **out)
{
    ll_charges charges = {m, charges_at_m, charge_a_m};
    ll_response *r = calloc(1, sizeof *r);
    size_t steps;
    if (!r)
        return LL_NO_MEMORY;
    r->solution = s;
    const ll_status status =
        s->forms
            ? ll_form_solution_response(s->forms, tolerance, m, charges_at_m, charge_a_m, &r->forms,
                                        &r->layers)
            : ll_answer_find(s->system, charges_potential, &charges, tolerance, &r->answer, &steps);
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
