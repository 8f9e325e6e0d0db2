/* block_data.h - what a form of a block holds, for its own files. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_BLOCK_DATA_H
#define LL_ELEMENTS_BLOCK_DATA_H

#include "base/gsl.h"
#include "elements/block.h"
#include "elements/legendre.h"
#include "elements/line.h"
#include "elements/rectangle.h"

#include <gsl/gsl_permutation.h>

enum {
    LL_PARITIES = 8,               /* classes, and octants: bit k stands for axis k */
    LL_BLOCK_FUNCTIONS_MOST = 256, /* along one axis */
    LL_BLOCK_OCTANT_MOST = 50000,  /* of an octant */
    LL_FACE_CHARGES = LL_DEGREE_MOST * LL_DEGREE_MOST,
    LL_FACE_SHAPES = (LL_DEGREE_MOST + 1) * (LL_DEGREE_MOST + 1),
    LL_FINER_MOST = 3,
    LL_FACE_POINTS = (LL_DEGREE_MOST + 1 + LL_FINER_MOST) * (LL_DEGREE_MOST + 1 + LL_FINER_MOST),
    LL_FIELD_SIDE = LL_DEGREE_MOST + 4 + LL_FINER_MOST,
    LL_BLOCK_LAYERS_MOST = 8192 /* of one class */
};

/* A rectangle of the octant's surface. */
typedef struct ll_face {
    int normal, u, w;         /* axes; the face lies at half the edge along `normal` */
    int element_u, element_w; /* of the lines */
    ll_rectangle_sides sides;
    double area;
    int trace[LL_FACE_SHAPES]; /* where its dipole shapes lie on the octant's surface */
} ll_face;

/* A parity: odd in axis k when bit k is set, then nothing stands on the plane in the middle. */
typedef struct ll_parity {
    int odd[3], n[3];        /* functions along each axis */
    size_t w, lambda, layer; /* where its coefficients start: in x, in x, among the layers */
    int count, outline;      /* functions, and those that do not vanish on the surface */
    int *of_outline;         /* [outline] -> function */
    int *at_outline;         /* [trace] place among the outline, or -1 */
} ll_parity;

typedef struct ll_block {
    ll_body_form form;
    double half_m[3];
    ll_line line[3];
    size_t faces;
    ll_face *face;
    int trace; /* nodes of the octant's surface */
    ll_parity parity[LL_PARITIES];
    int charges; /* of a class */

    size_t points;  /* Gauss points of the octant */
    double *weight; /* [points] */

    int face_points;                                       /* of the rule that tests on a face */
    double test_u[LL_FACE_POINTS], test_w[LL_FACE_POINTS]; /* on -1 .. 1 */
    double test_weight[LL_FACE_POINTS];                    /* of the face's area */
    double test[LL_FACE_POINTS][LL_FACE_CHARGES];          /* charge densities times that weight */
    double mass[LL_FACE_CHARGES][LL_FACE_SHAPES]; /* mean of charge times dipole over a face */
    int field_points; /* along a piece as long as it is far: 1e-6 of what it adds outside */
    double field_node[LL_FIELD_SIDE], field_weight[LL_FIELD_SIDE];
    ll_rectangle_layers *layers;
    double *own[LL_PARITIES]; /* [charges][outline + charges]: 1/2 - K, -S */

    double *vector[3][2],
        *value[3]
              [2]; /* along each axis, even and odd: eigenvectors [n][n] in columns, values [n] */
    double *single[LL_PARITIES]; /* S factorised */
    gsl_permutation *single_order[LL_PARITIES];
    double *answer[LL_PARITIES];  /* S^-1 (1/2 - K), [charges][outline] */
    double *outside[LL_PARITIES]; /* F S^-1 (1/2 - K), [outline][outline] */
} ll_block;

static inline const ll_block *ll_block_of(const ll_body_form *form)
{
    return (const ll_block *)form;
}

/* The sign of class c in octant i. */
static inline double ll_parity_sign(int c, int i)
{
    const int both = c & i;
    return ((both ^ both >> 1 ^ both >> 2) & 1) ? -1 : 1;
}

static inline int ll_parity_layers(const ll_block *f, int c)
{
    return f->parity[c].outline + f->charges;
}

static inline double ll_axis_of(ll_vec3 v, int axis)
{
    return axis == 0 ? v.x : axis == 1 ? v.y : v.z;
}

/* From the values in eight octants to the sums of the eight classes, and back again but for a factor 8: v[8][n], `stride` apart. */
void ll_parity_sums(double *v, size_t stride, size_t n);

/* Parts of the constructor and of the table of functions, by file. */
ll_status ll_block_prepare_inside(ll_block *f);
ll_status ll_block_prepare_surface(ll_block *f, int finer);
ll_status ll_block_prepare_factor(ll_block *f);

void ll_block_find_h(const ll_body_form *form, const double *w, double *h, double *room);
void ll_block_test_flux(const ll_body_form *form, const double *b, double *y, double *room);
ll_vec3 ll_block_h_at(const ll_body_form *form, const double *w, ll_vec3 own_m);

/* y += the charges of class c, lambda[charges of a class], tested by its shapes on the outline: shape i of the outline belongs at
 * y[place[i]], at y[i] without places. */
void ll_block_add_class_charges(const ll_block *f, int c, const double *lambda, const int *place,
                                double *y);
void ll_block_add_charges(const ll_body_form *form, const double *lambda, double *y);
void ll_block_add_own_surface(const ll_body_form *form, const double *x, double *y);
void ll_block_test_surface(const ll_body_form *form, const double *psi, double *y);
void ll_block_test_group(const ll_body_form *form, size_t group, size_t n, const double *rows,
                         double *y);
void ll_block_trace(const ll_body_form *form, const double *x, double *w, double *lambda);
void ll_block_flux_beyond(const ll_body_form *form, const double *x, const ll_plane *plane,
                          double *flux_a_m, double *area_m2);
void ll_block_find_layers(const ll_body_form *form, const double *x, double *layer);
void ll_block_potential_rows(const ll_body_form *form, size_t n, const ll_vec3 *own_m,
                             double *rows);

void ll_block_add_field(const ll_body_form *form, const double *layer, size_t n,
                        const ll_vec3 *own_m, double *potential_a, ll_vec3 *h_a_m);

ll_status ll_block_factorise(const ll_body_form *form, const double *tangent, ll_body_factor **out);
ll_status ll_block_solve(const ll_body_form *form, const ll_body_factor *factor, size_t count,
                         double *const *x);
void ll_block_free_factor(ll_body_factor *factor);

#endif
