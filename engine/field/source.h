/* source.h - closed-form fields of what makes field by itself: uniformly magnetised blocks, rods, rings and
 * screws in vacuum, and windings that carry current.
 *
 * SI units. A source has a magnetisation or a current of its own; soft material around it is the business of
 * magnetics. Points come in arrays; outputs are overwritten, never added to. Thread-safe.
 * The scalar potential is that of the magnetic charges: H = -grad psi, psi falls to zero far away.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_FIELD_SOURCE_H
#define LL_FIELD_SOURCE_H

#include "base/api.h"
#include "base/geometry.h"
#include "base/status.h"
#include "shape/shape.h"
#include "winding/winding.h"
#include <stddef.h>

LL_API_BEGIN

/* H in A/m at n world points of a placed shape with uniform magnetisation m_a_m (world axes). Inside it is the
 * demagnetising field, so B = mu0 (H + M) there. Relative error 1e-9 away from edges; on an edge, where the field is
 * infinite, a large finite value; on a face, to rounding, the value outside. */
ll_status ll_magnet_h(const ll_shape *shape, const ll_pose *pose, ll_vec3 m_a_m, size_t n,
                      const ll_vec3 *points_m, ll_vec3 *h_a_m);

/* Scalar potential in ampere at n world points, continuous everywhere; same accuracy. */
ll_status ll_magnet_potential(const ll_shape *shape, const ll_pose *pose, ll_vec3 m_a_m, size_t n,
                              const ll_vec3 *points_m, double *psi_a);

/* H per ampere (1/m) at n world points of a placed coil of `turns` in air, finite cross-section, inside the
 * winding too. Relative error 1e-6 to twenty times the size of the coil; further out the end faces cancel to rounding. */
ll_status ll_coil_h(const ll_coil_shape *coil, const ll_pose *pose, double turns, size_t n,
                    const ll_vec3 *points_m, ll_vec3 *h_per_m);

/* Vector potential per ampere (Wb/m for each ampere) at n world points, inside the winding too; mu0 H is its curl. */
ll_status ll_coil_a(const ll_coil_shape *coil, const ll_pose *pose, double turns, size_t n,
                    const ll_vec3 *points_m, ll_vec3 *a_wb_m);

/* Scalar potential per ampere (ampere-turns per ampere) of the coil replaced by its magnetised equivalent: the
 * winding and its hole are filled with M along the coil's own z, falling linearly to zero through the build.
 * H = -grad psi outside that volume. Inside the hole H = -grad psi + M, so that
 * `ll_coil_potential_in_hole` is the one whose negative gradient is H on a path through the hole. */
ll_status ll_coil_potential(const ll_coil_shape *coil, const ll_pose *pose, double turns, size_t n,
                            const ll_vec3 *points_m, double *psi);
/* H and this potential together, which costs little more than one of them. */
ll_status ll_coil_h_and_potential(const ll_coil_shape *coil, const ll_pose *pose, double turns,
                                  size_t n, const ll_vec3 *points_m, ll_vec3 *h_per_m, double *psi);
/* The potential minus the integral of M along own z, held constant above and below the winding: continuous along the axis
 * through the hole, H = -grad of it in the hole and above and below. Not for points beside the coil. */
ll_status ll_coil_potential_in_hole(const ll_coil_shape *coil, const ll_pose *pose, double turns,
                                    size_t n, const ll_vec3 *points_m, double *psi);

/* Self inductance (same coil) or mutual inductance of two placed coils in air, henry. Relative error 1e-5. */
ll_status ll_coil_inductance(const ll_coil_shape *a, const ll_pose *pa, double turns_a,
                             const ll_coil_shape *b, const ll_pose *pb, double turns_b,
                             double *l_h);

LL_API_END

#endif
