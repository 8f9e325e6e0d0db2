/* body.h - one piece of soft or hard material in the solver: a part, or parts in contact joined into one piece, with the
 * magnetic law of each.
 *
 * SI units; vectors in the body's own axes. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_BODY_H
#define LL_MAGNETICS_BODY_H

#include "elements/form.h"
#include "elements/interior.h"
#include "scene/scene.h"

/* A part within a body: where the mesh's owner number points. */
typedef struct ll_region {
    size_t part; /* index in the scene */
    const ll_material *material;
    ll_vec3 axis;  /* magnets: unit vector of the magnetisation */
    double charge; /* magnets: fraction of full magnetisation, negative for reversed */
    double
        reference_a_m; /* magnetisation along the axis that the closed-form field of a magnet stands for */
    bool linear;
    bool charged_alone; /* magnets with a bent law: see ll_charging */
} ll_region;

/* What the unknowns of a body mean. Outside all bodies each kind adds its layers to the sources' potential.
 * LL_TOTAL: w is the whole potential and lambda = B_n / mu0: right for soft steel, where H inside is a small difference of
 *   large fields.
 * LL_REACTION: w and lambda are what is added to the sources, one of which is the magnet's own closed-form field: right for a
 *   magnet with a bent curve.
 * LL_CHARGES: the same for a magnet with a straight recoil line, whose susceptibility chi is all that there is to solve: w is
 *   what is added to the sources' potential, lambda the charge M_n of the induced magnetisation, the only layer;
 *     inside    integral chi grad (w + psi) . grad v dV + integral lambda v dS = 0
 *     surface   integral chi_i (w - S lambda - the layers of all other bodies) dS = 0
 *   so that errors of the mesh are errors of the little that chi does. */
typedef enum ll_body_kind { LL_TOTAL, LL_REACTION, LL_CHARGES } ll_body_kind;

typedef struct ll_body {
    size_t regions;
    ll_region *region;
    ll_pose pose;
    const ll_form *form;
    ll_body_kind kind;
    bool linear;
    double *psi;      /* [nodes] not LL_TOTAL: the sources' potential in the bias, added to w */
    double *lowest_h; /* [tets] or NULL: axial field that a magnet has seen, whence it recoils */
    double *
        state_h; /* [tets] or NULL: axial field at which Newton's method takes a magnet's law as straight */
    size_t w, lambda; /* where its unknowns start */
    ll_interior
        *interior; /* the law's tangent at the operating point; equal linear bodies share it */
    bool owns_interior;
    const ll_interior *
        factorised; /* whose factor preconditions it: its own, or that of a body of the same form and material */
} ll_body;

/* The bodies of a scene: parts whose permeability differs from 1, those in contact joined. Contacts closer than join_m are
 * joined. *body is an array of *count, cleared by ll_body_clear and freed by the caller.
 * LL_OVERLAP when pieces cut into each other at an angle and cannot be joined; LL_NO_MEMORY. */
ll_status ll_bodies_find(const ll_scene *scene, double fineness, double join_m, ll_body **body,
                         size_t *count);
void ll_body_clear(ll_body *body);

/* B / mu0 for the field h in tetrahedron t, and the law's tangent there (either may be NULL). */
void ll_body_law(const ll_body *body, size_t t, ll_vec3 h, ll_vec3 *b_mu0, ll_tensor *tangent);
/* What a small alternating field meets at the operating point h: the tangent of a soft steel, the recoil line of a magnet. */
ll_tensor ll_body_reversible(const ll_body *body, size_t t, ll_vec3 h);

/* H in tetrahedron t, sources included. */
ll_vec3 ll_body_h(const ll_body *body, size_t t, const double *w);
/* Along the axis of a magnet: B in tesla for the field h, from the curve scaled by the charge, and from the recoil line on the
 * other side of lowest_h_a_m, the field that demagnetised it most (HUGE_VAL: none); slope may be NULL. */
double ll_region_b(const ll_region *region, double h_a_m, double lowest_h_a_m, double *slope);
/* Such a law at one place. */
typedef double ll_axial_law(const void *place, double h_a_m, double *slope);
/* The field at which it meets the line B = b_t - load (H - h_a_m), load in H/m; both sides are monotone. */
double ll_axial_meet(ll_axial_law *law, const void *place, double load, double h_a_m, double b_t);

/* Fills the interior with the tangent at the potential w[nodes] (NULL for zero field) - or, for small sources, with the
 * reversible permeability - and, if wanted, factorises it: an older factor still serves as a preconditioner. */
ll_status ll_body_tangent(ll_body *body, const double *w, bool reversible, bool factorise);
/* A stand-in for the space outside, which answers a potential of surface nodes about as a sphere of the same size would,
 * w / size: outside[surface nodes], for ll_interior_factorise. */
void ll_body_outside(const ll_form *form, double *outside);
/* Newton's method in a magnet whose curve bends. The law is straightened at a state of each tetrahedron that is not H = -grad w
 * itself, which would jump from one flat end of a steep curve to the other for ever: after a step has moved w, the new state
 * is where the curve meets the load line B + load H = const (load in H/m) through what the straightened law gave. Both agree
 * where it converges. The first call takes the states from w. Nothing happens in other bodies. LL_NO_MEMORY. */
ll_status ll_body_project(ll_body *body, double load, const double *w);
/* residual[nodes] = -integral (B / mu0) . grad v for the potential w; of other kinds than LL_TOTAL only what it adds to its sources,
 * whose reference magnetisation is one of them. */
void ll_body_residual(const ll_body *body, const double *w, double *residual);

#endif
