/* coupled_forms.h - bodies in their places as one linear system: the products and solves that Newton's method and small sources
 * are made of. It knows forms alone, neither laws nor materials; for the equations see body_form.h.
 *
 * One vector holds all unknowns: for each body w, then lambda. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_COUPLED_FORMS_H
#define LL_ELEMENTS_COUPLED_FORMS_H

#include "elements/body_form.h"
#include "elements/pair.h"

typedef struct ll_placed_form {
    ll_body_form *form;
    ll_pose pose;
} ll_placed_form;

typedef struct ll_coupled_forms {
    size_t count, unknowns;
    ll_placed_form *body;
    size_t *start;     /* [count + 1] where each body's unknowns begin */
    ll_pair_use *pair; /* [target * count + source] */
} ll_coupled_forms;

/* The tangent that each body's law has at its places, [6][places], and a factor for it, which bodies may share. Without tangents
 * (NULL) each law is the one that its factor was made for: products then need nothing of the inside, and cost a tenth. */
typedef struct ll_tangents {
    const double *const *tangent;
    const ll_body_factor *const *factor;
} ll_tangents;

/* Shares the forms. Caller frees *out. LL_NO_MEMORY. */
ll_status ll_coupled_forms_new(size_t count, const ll_placed_form *body, ll_coupled_forms **out);
void ll_coupled_forms_free(ll_coupled_forms *c);
size_t ll_coupled_forms_bytes(const ll_coupled_forms *c);

/* y[unknowns] += all that geometry alone decides: the charges inside, and the surface equations. LL_NO_MEMORY. */
ll_status ll_coupled_forms_add_layers(const ll_coupled_forms *c, const double *x, double *y);
/* y[unknowns] = the equations around the tangents times x. LL_NO_MEMORY. */
ll_status ll_coupled_forms_product(const ll_coupled_forms *c, const ll_tangents *t, const double *x,
                                   double *y);
/* Each body's own equations solved, in place. */
ll_status ll_coupled_forms_precondition(const ll_coupled_forms *c, const ll_tangents *t, double *x);
/* x[unknowns] += the solution for rhs, until the preconditioned residual is below `tolerance` of the right-hand side's; *steps
 * counts products. LL_NO_CONVERGENCE, LL_NO_MEMORY. */
ll_status ll_coupled_forms_solve(const ll_coupled_forms *c, const ll_tangents *t, const double *rhs,
                                 double tolerance, double *x, size_t *steps);

#endif
