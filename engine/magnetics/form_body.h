/* form_body.h - a body of higher degree with its law: what a part is made of, at the places of its form.
 *
 * w is the whole potential in steel and in magnets whose curve bends: their remanence is in the law. A magnet with a straight
 * recoil line is a source in closed form with its remanence, and w, lambda are what everything else adds to its own field: errors of
 * the mesh are then errors of the little that its susceptibility does. SI units; vectors in the form's own axes, [3][places]. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_FORM_BODY_H
#define LL_MAGNETICS_FORM_BODY_H

#include "elements/coupled_forms.h"
#include "magnetics/body.h"
#include "material/hysteresis.h"

typedef struct ll_form_body {
    ll_region region; /* the axis in the form's own frame */
    ll_placed_form placed;
    double start_h_a_m; /* magnets: along the axis, where it works alone in air */
    double *
        state_h; /* [places] magnets with a bent curve: where Newton's method takes it as straight */
    double *lowest_h; /* [places] or NULL: axial field that a magnet has seen, whence it recoils */
    ll_hysteresis *loop; /* magnets that take or lose charge; else NULL */
    ll_turns *turns;     /* [places] their past, or NULL */
    double *tangent;     /* [6][places] as it stands */
    double
        *own_h; /* [3][places] magnets with a straight line: their closed-form field; else NULL */
} ll_form_body;

/* Room for the tangent, and the state at start_h_a_m. LL_NO_MEMORY. */
ll_status ll_form_body_prepare(ll_form_body *body);
void ll_form_body_clear(ll_form_body *body);

/* In place: h[3][places] becomes B / mu0 by the law that Newton's method meets, straightened in bent magnets, less a closed-form
 * field's own. */
void ll_form_body_b(const ll_form_body *body, double *h);
/* B / mu0 for the whole field h at one place, or at a point between: the law itself, with the history of that place. */
ll_vec3 ll_form_body_law(const ll_form_body *body, size_t place, ll_vec3 h);

/* The tangent at the field h[3][places], of the law that Newton's method meets - or, for small sources, the reversible one:
 * recoil lines of magnets. */
void ll_form_body_set_tangent(ll_form_body *body, const double *h, bool reversible);
/* A bent magnet's states from the field h[3][places]. */
void ll_form_body_set_state(ll_form_body *body, const double *h);
/* The next states of a bent magnet for the field h[3][places] that its straightened law gave, see ll_body_project: a share of the way
 * there, measured in B + load H, in which neither the flat nor the steep of a curve is. */
void ll_form_body_project(ll_form_body *body, double load, double share, const double *h);

#endif
