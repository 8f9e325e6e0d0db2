/* forms_field.h - the field outside of bodies whose unknowns are known. SI units, world axes.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_FORMS_FIELD_H
#define LL_ELEMENTS_FORMS_FIELD_H

#include "elements/coupled_forms.h"

/* What makes the field of x, body by body: its layers, and the sources at its surface points that stand for them from afar. The
 * caller frees it. NULL when memory is short. */
double *ll_coupled_forms_layers(const ll_coupled_forms *c, const double *x);
/* How many numbers that is. */
size_t ll_coupled_forms_layers_size(const ll_coupled_forms *c);
/* H of them added at n points outside all bodies. */
void ll_coupled_forms_add_h(const ll_coupled_forms *c, const double *layers, size_t n,
                            const ll_vec3 *points_m, ll_vec3 *h_a_m);

enum { LL_ALONG_MOST = 2 };

/* The same for `count` (at most LL_ALONG_MOST) sets of layers at once and for points in their order along a straight line, into
 * h_a_m[count][n]. What is far from a body is asked at fewer of the points, by its distance, and cubic splines fill the rest: within
 * a thousandth of what that body does. LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_coupled_forms_add_h_along(const ll_coupled_forms *c, size_t count,
                                       const double *const *layers, size_t n,
                                       const ll_vec3 *points_m, ll_vec3 *h_a_m);

#endif
