/* wire.h - a thin round wire of magnetic steel in a given field: how it is magnetised along its length.
 *
 * One dimension (y along the wire, area A, radius a):
 *   inside    integral A M(-w') v' dy - integral q v dy = 0
 *   outside   w(y) = psi(y) + integral q(s) / (4 pi sqrt((y - s)^2 + a^2)) ds
 * with w the potential on the axis, H = -w', and q the magnetic charge for each length, what A M loses along the wire; it
 * sits on the surface. w and q are linear between nodes, which stand no closer than about a third of a radius: charges
 * finer than that hardly differ in their potential. SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_WIRE_H
#define LL_STRING_WIRE_H

#include "base/status.h"
#include "material/material.h"
#include "string/wrap.h"
#include <stddef.h>

/* What a wire is made of, and what is wound around it. */
typedef struct ll_wire_make {
    double radius_m;
    const ll_material *material;
    ll_wrap wrap;
} ll_wire_make;

/* y_m[nodes] rising, psi_a[nodes] from everything but the wire itself. Fills h_a_m[nodes - 1], the axial field in each
 * element, and charge_a[nodes], q in A. LL_NO_CONVERGENCE, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_wire_magnetise(size_t nodes, const double *y_m, const ll_wire_make *make,
                            const double *psi_a, double *h_a_m, double *charge_a);

/* The same for a small field psi on top of the one that holds the wire at bias_a_m[nodes - 1], as ll_wire_magnetise gave
 * it: M follows by its slope there. Linear in psi. LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_wire_answer(size_t nodes, const double *y_m, const ll_wire_make *make,
                         const double *bias_a_m, const double *psi_a, double *h_a_m,
                         double *charge_a);

/* Integral of each node's hat: turns a density into point charges. weight_m[nodes]. */
void ll_wire_weights(size_t nodes, const double *y_m, double *weight_m);

#endif
