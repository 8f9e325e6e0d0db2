/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/gauss.h"
#include "base/gsl.h"

#include <gsl/gsl_integration.h>

ll_status ll_gauss_points(int n, double *node, double *weight)
{
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc((size_t)n);
    if (!table)
        return LL_NO_MEMORY;
    for (int i = 0; i < n; i++)
        gsl_integration_glfixed_point(-1, 1, (size_t)i, &node[i], &weight[i], table);
    gsl_integration_glfixed_table_free(table);
    return LL_OK;
}
