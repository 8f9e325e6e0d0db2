/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/plan.h"
#include "base/constants.h"

#include <math.h>
#include <stdlib.h>

/* Piece lengths from one fine end: a geometric series capped at `coarse`. */
static double piece(const ll_grading *g, size_t i)
{
    return fmin(g->coarse, g->edge * pow(g->growth, (double)i));
}

/* The least number of pieces that covers `length` when `ends` of its ends are fine. */
static size_t count_pieces(double length, int ends, const ll_grading *g)
{
    if (ends == 0)
        return (size_t)fmax(1, ceil(length / g->coarse - 1e-9));
    double covered = 0;
    size_t n = 0;
    while (covered < length * (1 - 1e-9)) {
        covered += piece(g, ends == 2 ? n / 2 : n);
        n++;
    }
    return n;
}

/* The weight of piece i of n before scaling to the length. */
static double weight(size_t i, size_t n, int fine_at_from, int fine_at_to, const ll_grading *g)
{
    double w = g->coarse;
    if (fine_at_from)
        w = fmin(w, piece(g, i));
    if (fine_at_to)
        w = fmin(w, piece(g, n - 1 - i));
    return w;
}

ll_status ll_steps_add(ll_steps *steps, double from, double to, int fine_at_from, int fine_at_to,
                       const ll_grading *grading)
{
    const size_t n = count_pieces(to - from, !!fine_at_from + !!fine_at_to, grading);
    const size_t first = steps->count ? steps->count : 1;
    double *at = realloc(steps->at, (first + n) * sizeof *at);
    if (!at)
        return LL_NO_MEMORY;
    double sum = 0, run = 0;
    for (size_t i = 0; i < n; i++)
        sum += weight(i, n, fine_at_from, fine_at_to, grading);
    at[first - 1] = from;
    for (size_t i = 0; i < n; i++) {
        run += weight(i, n, fine_at_from, fine_at_to, grading);
        at[first + i] = from + (to - from) * run / sum;
    }
    at[first + n - 1] = to;
    *steps = (ll_steps){first + n, at};
    return LL_OK;
}

void ll_steps_clear(ll_steps *steps)
{
    free(steps->at);
    *steps = (ll_steps){0, NULL};
}

static ll_status allocate(size_t nodes, size_t triangles, ll_plan *plan)
{
    *plan = (ll_plan){nodes, 0, malloc(nodes * sizeof *plan->node),
                      malloc(triangles * sizeof *plan->triangle),
                      malloc(triangles * sizeof *plan->zone)};
    if (plan->node && plan->triangle && plan->zone)
        return LL_OK;
    ll_plan_clear(plan);
    return LL_NO_MEMORY;
}

static void add_triangle(ll_plan *plan, size_t a, size_t b, size_t c, int zone)
{
    plan->triangle[plan->triangles][0] = (int)a;
    plan->triangle[plan->triangles][1] = (int)b;
    plan->triangle[plan->triangles][2] = (int)c;
    plan->zone[plan->triangles++] = zone;
}

/* A quadrilateral a b c d, counter-clockwise, along one of its diagonals. */
static void add_quad(ll_plan *plan, size_t a, size_t b, size_t c, size_t d, int diagonal, int zone)
{
    if (diagonal) {
        add_triangle(plan, a, b, c, zone);
        add_triangle(plan, a, c, d, zone);
    } else {
        add_triangle(plan, a, b, d, zone);
        add_triangle(plan, b, c, d, zone);
    }
}

ll_status ll_plan_grid(const ll_steps *x, const ll_steps *y, ll_plan *out)
{
    const size_t nx = x->count, ny = y->count;
    ll_plan plan;
    const ll_status status = allocate(nx * ny, 2 * (nx - 1) * (ny - 1), &plan);
    if (status)
        return status;
    for (size_t j = 0; j < ny; j++)
        for (size_t i = 0; i < nx; i++) {
            plan.node[j * nx + i][0] = x->at[i];
            plan.node[j * nx + i][1] = y->at[j];
        }
    /* Diagonals point to the middle, so that the plan is its own mirror image. */
    for (size_t j = 0; j + 1 < ny; j++)
        for (size_t i = 0; i + 1 < nx; i++)
            add_quad(&plan, j * nx + i, j * nx + i + 1, (j + 1) * nx + i + 1, (j + 1) * nx + i,
                     (2 * i + 2 > nx) == (2 * j + 2 > ny), 0);
    *out = plan;
    return LL_OK;
}

ll_status ll_plan_polar(const ll_steps *radii, size_t sides, double zone_radius, ll_plan *out)
{
    const size_t solid = radii->at[0] == 0.0, rings = radii->count - solid;
    ll_plan plan;
    const ll_status status =
        allocate(solid + rings * sides, sides * (solid + 2 * (rings - 1)), &plan);
    if (status)
        return status;
    /* A regular polygon of circumradius s r has the circle's area. */
    const double step = 2 * LL_PI / (double)sides;
    const double s = sqrt(step / sin(step));
    if (solid)
        plan.node[0][0] = plan.node[0][1] = 0;
    for (size_t r = 0; r < rings; r++)
        for (size_t k = 0; k < sides; k++) {
            const double radius = s * radii->at[r + solid];
            plan.node[solid + r * sides + k][0] = radius * cos(((double)k + 0.5) * step);
            plan.node[solid + r * sides + k][1] = radius * sin(((double)k + 0.5) * step);
        }
    for (size_t k = 0; k < sides; k++) {
        const size_t next = (k + 1) % sides;
        if (solid)
            add_triangle(&plan, 0, 1 + k, 1 + next, 0);
        for (size_t r = 0; r + 1 < rings; r++) {
            const size_t in = solid + r * sides, ex = in + sides;
            const int zone = radii->at[r + solid] >= zone_radius * (1 - 1e-9);
            add_quad(&plan, in + k, ex + k, ex + next, in + next, k % 2 == 0, zone);
        }
    }
    *out = plan;
    return LL_OK;
}

void ll_plan_clear(ll_plan *plan)
{
    free(plan->node);
    free(plan->triangle);
    free(plan->zone);
    *plan = (ll_plan){0};
}
