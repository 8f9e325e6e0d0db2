/* form.h - a shape made ready for the field solver: its mesh and the boundary operators of its surface, in its own
 * frame. Everything here depends on geometry alone, so equal shapes share one form wherever they stand, whatever they are
 * made of, and from one solve to the next.
 *
 * Galerkin boundary elements: charges lambda = B_n / mu0 are linear on triangles and jump at sharp edges ("corners", nc of
 * them), the potential w is linear and continuous ("nodes", ns on the surface). Row-major, lengths in metre:
 *   single[nc][nc]   integral of chi_i S chi_j, symmetric
 *   jump[nc][ns]     integral of chi_i (1/2 - K) N_j
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_FORM_H
#define LL_ELEMENTS_FORM_H

#include "base/shared.h"
#include "base/status.h"
#include "field/panel.h"
#include "shape/mesh.h"

/* Three test points in each triangle, and what one of them weighs. */
enum { LL_TEST_POINTS = 3 };
extern const double ll_test_weight[LL_TEST_POINTS][3];

/* What a surface unknown looks like from afar: all of it at its centroid. */
typedef struct ll_far {
    size_t count;
    ll_vec3 *at_m;
    double *weight;  /* charges: integral of chi in m2 */
    ll_vec3 *moment; /* dipoles: integral of N n dS in m2; NULL for charges */
} ll_far;

typedef struct ll_form {
    ll_shared shared;
    size_t serial; /* for keys of what depends on it */
    size_t shapes; /* one, or several that are joined into one piece */
    ll_shape *shape;
    ll_pose *pose; /* of each shape in the form's frame */
    ll_mesh *mesh;
    ll_panels *panels;
    ll_vec3 *test_m; /* [3 triangles] */
    double *single, *jump;
    double *factor; /* of single, [nc][nc]: see ll_factorise */
    ll_far charge, dipole;
    double size_m; /* of a sphere with the same surface */
    size_t bytes;
} ll_form;

/* From the cache if an equal one is there, otherwise computed: see ll_mesh_new for the
 * arguments. A share (ll_share, ll_release). Thread-safe. */
ll_status ll_form_get(size_t shapes, const ll_shape *shape, const ll_pose *pose,
                      const ll_sizing *sizing, const ll_form **out);

/* node[i] += integral of lambda N_i over the surface: nodes from corners. */
void ll_form_add_flux(const ll_form *form, const double *lambda, double *node);
/* corner[i] += integral of chi_i w, w given at the surface nodes. */
void ll_form_add_mass(const ll_form *form, const double *w, double *corner);
/* corner[i] = integral of chi_i f, f given at the test points. */
void ll_form_test(const ll_form *form, const double *f, double *corner);

#endif
