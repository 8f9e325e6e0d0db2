/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/line.h"
#include "elements/legendre.h"

#include <stdlib.h>
#include <string.h>

static void fill_element(ll_line *line, int e, const double *node, const double *weight)
{
    const double half = 0.5 * (line->at[e + 1] - line->at[e]);
    for (int i = 0; i < line->per_element; i++) {
        const int q = e * line->per_element + i;
        double value[LL_DEGREE_MOST + 1], slope[LL_DEGREE_MOST + 1];
        ll_shapes(line->degree, node[i], value, slope);
        line->point[q] = line->at[e] + half * (1 + node[i]);
        line->weight[q] = half * weight[i];
        for (int k = 0; k <= line->degree; k++) {
            const int at = q * line->unknowns + ll_line_unknown(line, e, k);
            line->value[at] = value[k];
            line->slope[at] = slope[k] / half;
        }
    }
}

ll_status ll_line_make(int elements, const double *at, int degree, int points_per_element,
                       ll_line *out)
{
    double node[LL_GAUSS_MOST_POINTS], weight[LL_GAUSS_MOST_POINTS];
    const ll_status status = ll_gauss_points(points_per_element, node, weight);
    if (status)
        return status;
    ll_line line = {.elements = elements,
                    .degree = degree,
                    .unknowns = elements * degree + 1,
                    .per_element = points_per_element,
                    .points = elements * points_per_element};
    const size_t table = (size_t)line.points * (size_t)line.unknowns;
    line.at = calloc((size_t)elements + 1 + 2 * (size_t)line.points + 2 * table, sizeof *line.at);
    if (!line.at)
        return LL_NO_MEMORY;
    line.point = line.at + elements + 1;
    line.weight = line.point + line.points;
    line.value = line.weight + line.points;
    line.slope = line.value + table;
    memcpy(line.at, at, ((size_t)elements + 1) * sizeof *at);
    for (int e = 0; e < elements; e++)
        fill_element(&line, e, node, weight);
    *out = line;
    return LL_OK;
}

void ll_line_clear(ll_line *line)
{
    free(line->at);
    *line = (ll_line){0};
}
