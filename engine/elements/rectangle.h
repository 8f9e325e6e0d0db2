/* rectangle.h - potentials of a flat rectangle that carries a charge and a dipole layer, both polynomials.
 *
 * The rectangle lies in the plane z = 0 of its own frame, sides along u and w; a degree p means
 *     charge   P_g(u) P_h(w), Legendre's polynomials on the sides, g, h < p:      p^2 densities
 *     dipole   the shapes of legendre.h, g, h <= p:                               (p + 1)^2 densities
 * and with R the distance from a point of the rectangle
 *     single   S f = (1 / 4 pi) integral f / R dS
 *     double   K f = (1 / 4 pi) integral f z / R^3 dS        (zero on the rectangle's own plane)
 *
 * Near, both are closed forms: integrals of U^a W^b / R follow from those along the four edges by recurrences, which integration
 * by parts gives (as for triangles in Graglia, IEEE Trans. Antennas Propag. 41 (1993) 1448); along a long side and far from a
 * short one, closed along the long side and Gauss points across; far away Gauss points both ways. All densities come
 * together. Any consistent unit of length. Thread-safe.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_RECTANGLE_H
#define LL_ELEMENTS_RECTANGLE_H

#include "base/status.h"
#include <stddef.h>

typedef struct ll_rectangle_sides {
    double u[2], w[2]; /* from, to */
} ll_rectangle_sides;

/* The polynomials at the Gauss points of one degree. */
typedef struct ll_rectangle_layers ll_rectangle_layers;

/* tolerance: about what the Gauss points may leave (five times it at worst), of the potential of a rectangle. 1 <= degree <= LL_DEGREE_MOST. LL_NO_MEMORY. */
ll_status ll_rectangle_layers_new(int degree, double tolerance, ll_rectangle_layers **out);
void ll_rectangle_layers_free(ll_rectangle_layers *layers);

/* How many values a point gets. */
static inline int ll_rectangle_values(int degree)
{
    return degree * degree + (degree + 1) * (degree + 1);
}

/* value[n][values] at n points (u, w, z), z from the rectangle along its normal: S of charge [g p + h], then K of dipole
 * [g (p + 1) + h]. */
void ll_rectangle_potentials(const ll_rectangle_layers *layers, const ll_rectangle_sides *r,
                             size_t n, const double *u, const double *w, const double *z,
                             double *value);

#endif
