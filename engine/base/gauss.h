/* gauss.h - Gauss-Legendre points and weights. Internal. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_GAUSS_H
#define LL_BASE_GAUSS_H

#include "base/status.h"

/* On (-1, 1), n >= 1 of each. LL_NO_MEMORY. */
ll_status ll_gauss_points(int n, double *node, double *weight);

#endif
