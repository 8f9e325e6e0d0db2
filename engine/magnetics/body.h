/* body.h - one piece of soft or hard material in the solver: a part, or parts in contact joined into one piece, with the
 * magnetic law of each.
 *
 * SI units; vectors in the body's own axes. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_BODY_H
#define LL_MAGNETICS_BODY_H

#include "magnetics/form.h"
#include "magnetics/interior.h"
#include "magnetics/scene.h"

/* A part within a body: where the mesh's owner number points. */
typedef struct ll_region {
    size_t part; /* index in the scene */
    const ll_material *material;
    ll_vec3 axis;  /* magnets: unit vector of the magnetisation */
    double charge; /* magnets: fraction of full magnetisation, negative for reversed */
    double
        reference_a_m; /* magnetisation along the axis that a reaction body's closed-form field stands for */
    bool linear;
} ll_region;

typedef struct ll_body {
    size_t regions;
    ll_region *region;
    ll_pose pose;
    const ll_form *form;
    bool reaction, linear;
    double *psi;      /* [nodes] reaction: the sources' potential in the bias, added to w */
    double *lowest_h; /* [tets] or NULL: axial field that a magnet has seen, whence it recoils */
    size_t w, lambda; /* where its unknowns start */
    ll_interior
        *interior; /* the law's tangent at the working point; equal linear bodies share it */
    bool owns_interior;
} ll_body;

/* The bodies of a scene: parts whose permeability differs from 1, those in contact joined. Contacts closer than join_m are
 * joined. *body is an array of *count, cleared by ll_body_clear and freed by the caller.
 * LL_OVERLAP when pieces cut into each other at an angle and cannot be joined; LL_NO_MEMORY. */
ll_status ll_bodies_find(const ll_scene *scene, double fineness, double join_m, ll_body **body,
                         size_t *count);
void ll_body_clear(ll_body *body);
/* True when two pieces of steel that overlap can be meshed as one: both are prisms along a common axis. */
bool ll_parts_can_join(const ll_part *p, const ll_part *q);

/* B / mu0 for the field h in tetrahedron t, and the law's tangent there (either may be NULL). */
void ll_body_law(const ll_body *body, size_t t, ll_vec3 h, ll_vec3 *b_mu0, ll_tensor *tangent);
/* What a small alternating field meets at the working point h: the tangent of a soft steel, the recoil line of a magnet. */
ll_tensor ll_body_reversible(const ll_body *body, size_t t, ll_vec3 h);

/* H in tetrahedron t, sources included. */
ll_vec3 ll_body_h(const ll_body *body, size_t t, const double *w);
/* Along the axis of a magnet: B in tesla for the field h, from the curve scaled by the charge, and from the recoil line above
 * lowest_h_a_m (HUGE_VAL: none); slope may be NULL. */
double ll_region_b(const ll_region *region, double h_a_m, double lowest_h_a_m, double *slope);

/* Fills the interior with the tangent at the potential w[nodes] (NULL for zero field) - or, for small signals, with the
 * reversible permeability - and, if wanted, factorises it: an older factor still serves as a preconditioner. */
ll_status ll_body_tangent(ll_body *body, const double *w, bool reversible, bool factorise);
/* residual[nodes] = -integral (B / mu0) . grad v for the potential w; of a reaction body only what it adds to its sources,
 * whose reference magnetisation is one of them. */
void ll_body_residual(const ll_body *body, const double *w, double *residual);

#endif
