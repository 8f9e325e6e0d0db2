/* legendre.h - what elements of higher degree are made of in one dimension, on the line from -1 to 1.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_LEGENDRE_H
#define LL_ELEMENTS_LEGENDRE_H

#include "base/gauss.h"

enum { LL_DEGREE_MOST = 5, LL_GAUSS_MOST_POINTS = 32 };

/* value[k] = Legendre's P_k(x) for k < count. */
void ll_legendre(int count, double x, double *value);

/* The degree + 1 shapes of one element and their slopes: the hats of the ends -1 and +1, then Legendre's polynomials integrated,
 * (P_k - P_k-2) / sqrt(2 (2 k - 1)) for k = 2 .. degree, which vanish at both ends and whose slopes are orthonormal
 * (B. Szabo, I. Babuska, Finite Element Analysis, 1991). A higher degree adds shapes and leaves the others as they are. */
void ll_shapes(int degree, double x, double *value, double *slope);

#endif
