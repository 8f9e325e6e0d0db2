/* form_system.h - bodies of higher degree with their laws as one system: the bias by Newton's method, and small sources around it.
 *
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_FORM_SYSTEM_H
#define LL_MAGNETICS_FORM_SYSTEM_H

#include "magnetics/form_body.h"

typedef struct ll_form_system {
    size_t count;
    ll_form_body *body;
    ll_coupled_forms *forms;
    size_t *factor_of; /* which body's factor serves each: alike bodies share that of the first */
    ll_body_factor **factor; /* [count], NULL where another's serves */
    double **room; /* [count] h[3][places] and the form's own scratch; NULL once settled */
} ll_form_system;

/* Takes the bodies (prepared, in an array of its own) over, whatever comes; LL_NO_MEMORY. */
ll_status ll_form_system_new(size_t count, ll_form_body *body, ll_form_system **out);
void ll_form_system_free(ll_form_system *s);
bool ll_form_system_is_linear(const ll_form_system *s);

/* The potential of all sources outside at n world points on the surface of body b. */
typedef ll_status (*ll_outside_potential)(void *context, size_t b, size_t n,
                                          const ll_vec3 *points_m, double *psi);

/* The bias from x[unknowns] on, with the laws as they are. *steps counts products, *count Newton's steps.
 * LL_NO_CONVERGENCE, LL_NO_MEMORY. */
ll_status ll_form_system_bias(ll_form_system *s, ll_outside_potential psi, void *context, double *x,
                              size_t *steps, size_t *count);
/* The tangents become those that small sources meet around the bias x. */
ll_status ll_form_system_reverse(ll_form_system *s, const double *x);
/* A small source around them. */
ll_status ll_form_system_small_source(const ll_form_system *s, ll_outside_potential psi,
                                      void *context, double tolerance, double *x, size_t *steps);
/* Frees the tangents and all that Newton's method wants: small sources meet each law as its factor has it from then on, the mean over
 * like bodies, around an axis, or over a block. Nothing is lost where laws are straight; and what steel gives back to a string
 * hardly depends on how permeable it is. Products cost a tenth then. */
void ll_form_system_settle(ll_form_system *s);
/* h[3][places] of one body, H = -grad w; any thread. */
void ll_form_system_h(const ll_form_system *s, size_t b, const double *x, double *h, double *room);

#endif
