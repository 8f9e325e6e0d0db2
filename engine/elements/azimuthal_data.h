/* azimuthal_data.h - what azimuthal.h's struct holds, for its own files. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_AZIMUTHAL_DATA_H
#define LL_ELEMENTS_AZIMUTHAL_DATA_H

#include "elements/azimuthal.h"
#include "elements/side_points.h"

#include <cholmod.h>

/* What one source brings, and its answer at rest. */
typedef struct ll_ring_source {
    double *potential; /* [charges] its A tested by tau's functions: a */
    double *answered;  /* [charges] S^-1 a */
    double *load;      /* [unknowns] f */
    double *at_rest;   /* [unknowns] A for (K + ..) A = f */
} ll_ring_source;

struct ll_azimuthal {
    ll_meridian meridian;
    int unknowns;    /* functions that vanish on the axis */
    int *number;     /* [meridian unknowns] or -1 on the axis */
    int *at_outline; /* [meridian unknowns] place among those of the outline, or -1 */
    int *of_outline; /* [outline] -> number */
    int outline, charges;
    ll_rule along;
    ll_side_rules rules;
    double *single;       /* [charges]^2 S, factorised by Cholesky's method */
    double *half;         /* [charges][outline] H */
    double *inverse_half; /* [charges][outline] S^-1 H */
    double *outside;      /* [outline]^2 N + H' S^-1 H */
    cholmod_common common;
    cholmod_sparse *stiffness, *mass; /* of one structure: K + outside, mu0 M; lower triangle */
    cholmod_factor *factor;
    size_t sources;
    ll_ring_source *source;
    size_t patterns;
    double *time_s;  /* [patterns] */
    double *pattern; /* [patterns][outline + charges]: A on the outline, tau */
    double *weight;  /* [sources][patterns] */
};

ll_status ll_azimuthal_make_outside(ll_azimuthal *a);
ll_status ll_azimuthal_make_inside(ll_azimuthal *a, ll_filling_at filling, void *context);
/* x[charges] = S^-1 x. */
ll_status ll_azimuthal_solve_single(const ll_azimuthal *a, double *x);
/* x[unknowns] = (K + outside + rate mu0 M)^-1 x. */
ll_status ll_azimuthal_factorise(ll_azimuthal *a, double rate);
ll_status ll_azimuthal_solve(ll_azimuthal *a, double *x);
/* y[unknowns] = the symmetric matrix of which `lower` is the lower triangle, times x. */
void ll_azimuthal_multiply(const cholmod_sparse *lower, const double *x, double *y);

/* Point `at` of -1 .. 1 on a side. */
static inline double ll_side_r(const ll_side *side, double at)
{
    return side->r[0] + 0.5 * (1 + at) * (side->r[1] - side->r[0]);
}

static inline double ll_side_z(const ll_side *side, double at)
{
    return side->z[0] + 0.5 * (1 + at) * (side->z[1] - side->z[0]);
}

/* Along a side from its lower break to its higher one, t = (-n_z, n_r) runs this way. */
static inline double ll_side_sense(const ll_side *side)
{
    return side->along_r ? -side->n_z : side->n_r;
}

#endif
