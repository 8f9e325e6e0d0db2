/* coil_source.h - the scalar potential of one ampere in a coil, on the branch that fits each body.
 *
 * The coil stands for a magnetised disc that fills its hole, M = turns / height there, whose potential has one value
 * everywhere. In the hole H = -grad psi + M, so the coil's own potential falls by M along the axis, and by `turns` for each
 * way through the hole. In a body that threads the hole it depends on the way there; where no way round comes back to the same
 * value, the body closes a ring around part of the winding and has no potential for that coil.
 * Internal. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_COIL_SOURCE_H
#define LL_MAGNETICS_COIL_SOURCE_H

#include "magnetics/system.h"

typedef struct ll_coil_source {
    const ll_scene *scene;
    const ll_system *system;
    size_t coil;
} ll_coil_source;

/* psi[n], an ll_source_potential with an ll_coil_source as its context: at the nodes of body b or at its test points, all of them
 * in the order of its form. LL_RING_AROUND_COIL. */
ll_status ll_coil_source_potential(void *context, size_t b, size_t n, const ll_vec3 *points_m,
                                   double *psi);

#endif
