/* body.h - one piece of soft or hard material in the solver: a part, or parts in contact joined into one piece, with the
 * magnetic law of each.
 *
 * SI units; vectors in the body's own axes. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_BODY_H
#define LL_MAGNETICS_BODY_H

#include "magnetics/form.h"
#include "magnetics/interior.h"
#include "magnetics/scene.h"

/* Magnets up to this recoil permeability are `reaction` bodies. */
#define LL_MOST_REACTION_MU 1.5

/* A part within a body: where the mesh's owner number points. */
typedef struct ll_region {
    size_t part; /* index in the scene */
    const ll_material *material;
    ll_vec3 axis;  /* magnets: unit vector of the magnetisation */
    double charge; /* magnets: fraction of full magnetisation, negative for reversed */
    bool linear;
} ll_region;

typedef struct ll_body {
    size_t regions;
    ll_region *region;
    ll_pose pose;
    const ll_form *form;
    bool reaction, linear;
    double *
        lowest_h; /* [tets] or NULL: the axial field of a magnet before it was built in, where it recoils from */
    size_t w, lambda; /* where its unknowns start */
    ll_interior
        *interior; /* the tangent of the law at the working point; shared by equal linear bodies */
    bool owns_interior;
} ll_body;

/* The bodies of a scene: parts whose permeability differs from 1, those in contact joined. Contacts closer than join_m are
 * joined. *body is an array of *count, cleared by ll_body_clear and freed by the caller.
 * LL_OVERLAP when pieces cut into each other at an angle and cannot be joined; LL_NO_MEMORY. */
ll_status ll_bodies_find(const ll_scene *scene, double fineness, double join_m, ll_body **body,
                         size_t *count);
void ll_body_clear(ll_body *body);

/* B / mu0 for the field h in tetrahedron t, and the law's tangent there (either may be NULL). */
void ll_body_law(const ll_body *body, size_t t, ll_vec3 h, ll_vec3 *b_mu0, ll_tensor *tangent);
/* What a small alternating field meets at the working point h: the tangent of a soft steel, the recoil line of a magnet. */
ll_tensor ll_body_reversible(const ll_body *body, size_t t, ll_vec3 h);

/* Fills the interior with the tangent at the potential w[nodes] (NULL for zero field) - or, for small signals, with the
 * reversible permeability - and factorises it. */
ll_status ll_body_tangent(ll_body *body, const double *w, bool reversible);
/* residual[nodes] = -integral (B / mu0) . grad v for the potential w. */
void ll_body_residual(const ll_body *body, const double *w, double *residual);

#endif
