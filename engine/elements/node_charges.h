/* node_charges.h - field and potential of point charges. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_NODE_CHARGES_H
#define LL_ELEMENTS_NODE_CHARGES_H

#include "base/geometry.h"
#include <stddef.h>

/* *h += the field in A/m of n charges (A m) at a point that none of them holds. */
void ll_charges_add_h(size_t n, const ll_vec3 *at_m, const double *charge_a_m, ll_vec3 point_m,
                      ll_vec3 *h_a_m);
/* *potential_a += their potential there, in ampere. */
void ll_charges_add_potential(size_t n, const ll_vec3 *at_m, const double *charge_a_m,
                              ll_vec3 point_m, double *potential_a);

#endif
