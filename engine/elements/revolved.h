/* revolved.h - the form of a body of revolution: a meridian times harmonics around its axis.
 *
 * w = sum of w_m(r, z) cos m phi and sin m phi, m = 0 .. M, w_m of degree p on the meridian's cells; lambda the same with
 * Legendre's polynomials of degree p - 1 on each side of the outline. The law is taken at Gauss points of the cells and
 * equal angles around the axis, so a law that bends mixes harmonics while the surface operators keep them apart: they are
 * one small matrix for each m, of ring kernels integrated by Galerkin's method.
 *
 * The own z axis is the axis of revolution. Without sines everything is mirrored in the own plane y = 0: places and surface
 * points then lie on the half y >= 0 alone and count twice, so of mean vectors only x and z hold.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_REVOLVED_H
#define LL_ELEMENTS_REVOLVED_H

#include "elements/body_form.h"
#include "elements/meridian.h"

typedef struct ll_revolved_options {
    int degree;     /* 1 .. LL_DEGREE_MOST */
    int harmonics;  /* M, 0 .. LL_HARMONIC_MOST */
    bool sines;     /* whether anything stands or points off the plane y = 0 */
    double clear_m; /* to the nearest other body or source; HUGE_VAL when alone */
    int finer;      /* more points in every rule, to test them: 0 as a rule */
} ll_revolved_options;

/* Rectangles and breaks as for ll_meridian_make. Caller releases *out. LL_BAD_VALUE, LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_revolved_new(size_t n, const ll_rectangle *rectangle, size_t nr, const double *r,
                          size_t nz, const double *z, const ll_revolved_options *options,
                          ll_body_form **out);

#endif
