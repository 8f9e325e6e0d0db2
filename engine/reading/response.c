/* The steel's answer to charges from outside, such as those of a string.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "magnetics/solution_data.h"
#include "reading/readings.h"

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

ll_status ll_solution_response_h(const ll_solution *s, double tolerance, size_t m,
                                 const ll_vec3 *charges_at_m, const double *charge_a_m, size_t n,
                                 const ll_vec3 *points_m, ll_vec3 *h_a_m)
{
    if (s->forms)
        return ll_form_solution_response(s->forms, tolerance, m, charges_at_m, charge_a_m, n,
                                         points_m, h_a_m);
    ll_charges charges = {m, charges_at_m, charge_a_m};
    ll_answer answer;
    size_t steps;
    const ll_status status =
        ll_answer_find(s->system, charges_potential, &charges, tolerance, &answer, &steps);
    if (status)
        return status;
    memset(h_a_m, 0, n * sizeof *h_a_m);
    ll_system_field(s->system, answer.densities, n, points_m, h_a_m);
    ll_answer_clear(&answer);
    return LL_OK;
}
