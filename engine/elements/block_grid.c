/* The grid that stands for a block from afar: Chebyshev's points along each axis, on both sides of the middle.
 *
 * A smooth potential is known in the block from its values there. With the eight images of a node summed by parity, the polynomial of
 * a node splits into one of each class, a product of functions of one axis, even or odd; so do the integrals over a face. The error
 * of n points falls as rho^-n (the ellipse of Bernstein that reaches the neighbour).
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/dense.h"
#include "elements/block_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { HALF_MOST = 16 };

/* The gap for which the grid is made, of half the longest edge, and what may be left there of a neighbour's potential. */
static const double least_gap = 0.35, left_there = 1e-3;

/* Points along a whole edge for potentials of charges a gap away: rho is the half axes' sum of the ellipse that reaches them. */
static double points_for(double half, double gap)
{
    return -log(left_there) / asinh(gap / half);
}

/* Node i of the upper half; the lower one mirrors it. */
static double node_at(const ll_block *f, int axis, int i)
{
    return f->half_m[axis] * sin(0.5 * LL_PI * (2 * i + 1) / (2.0 * f->grid[axis]));
}

/* The polynomial that is 1 at upper node k and 0 at all others, and its slope, at x. */
static void node_polynomial(const ll_block *f, int axis, int k, double x, double *value,
                            double *slope)
{
    const double own = node_at(f, axis, k);
    double v = 1, d = 0;
    for (int j = 0; j < f->grid[axis]; j++)
        for (int side = -1; side <= 1; side += 2) {
            const double at = side * node_at(f, axis, j);
            if (j == k && side > 0)
                continue;
            const double scale = 1 / (own - at);
            d = (d * (x - at) + v) * scale;
            v *= (x - at) * scale;
        }
    *value = v;
    *slope = d;
}

/* The even or odd function of upper node k. */
static void parity_polynomial(const ll_block *f, int axis, int odd, int k, double x, double *value,
                              double *slope)
{
    double v, d, mirrored, mirrored_slope;
    node_polynomial(f, axis, k, x, &v, &d);
    node_polynomial(f, axis, k, -x, &mirrored, &mirrored_slope);
    *value = odd ? v - mirrored : v + mirrored;
    *slope = odd ? d + mirrored_slope : d - mirrored_slope;
}

/* Integrals along one element of charges and of shapes times the functions of all nodes; and at the end of the axis these functions and their
 * slopes. */
typedef struct axis_moments {
    double *charge, *shape; /* [elements][degree or degree + 1][grid] */
    double end[HALF_MOST], end_slope[HALF_MOST];
} axis_moments;

static ll_status integrate_axis(const ll_block *f, int axis, int odd, axis_moments *out)
{
    const ll_line *line = &f->line[axis];
    const int p = line->degree, n = f->grid[axis], shapes = p + 1;
    double node[LL_GAUSS_MOST_POINTS], weight[LL_GAUSS_MOST_POINTS];
    const int points = p + 2 + n;
    const ll_status status = ll_gauss_points(points, node, weight);
    for (int e = 0; !status && e < line->elements; e++)
        for (int q = 0; q < points; q++) {
            const double half = 0.5 * (line->at[e + 1] - line->at[e]);
            const double x = line->at[e] + half * (1 + node[q]);
            double charge[LL_DEGREE_MOST + 1], shape[LL_DEGREE_MOST + 1], slope[LL_DEGREE_MOST + 1];
            ll_legendre(p, node[q], charge);
            ll_shapes(p, node[q], shape, slope);
            for (int g = 0; g < n; g++) {
                double value, unused;
                parity_polynomial(f, axis, odd, g, x, &value, &unused);
                value *= half * weight[q];
                for (int k = 0; k < p; k++)
                    out->charge[(e * p + k) * n + g] += value * charge[k];
                for (int k = 0; k < shapes; k++)
                    out->shape[(e * shapes + k) * n + g] += value * shape[k];
            }
        }
    for (int g = 0; g < n; g++)
        parity_polynomial(f, axis, odd, g, f->half_m[axis], &out->end[g], &out->end_slope[g]);
    return status;
}

/* row[nodes] += factor times the product of three functions of the axes. */
static void add_product(const ll_block *f, double factor, const double *const of_axis[3],
                        double *row)
{
    for (int k = 0; k < f->grid[2]; k++)
        for (int j = 0; j < f->grid[1]; j++) {
            const double weight = factor * of_axis[2][k] * of_axis[1][j];
            for (int i = 0; i < f->grid[0]; i++)
                *row++ += weight * of_axis[0][i];
        }
}

/* The rows of one face in both matrices of class c; sqrt(8) makes the sums of images orthonormal. */
static void add_face(ll_block *f, int c, size_t k, axis_moments axis[3][2])
{
    const ll_face *face = &f->face[k];
    const ll_parity *parity = &f->parity[c];
    const int p = f->form.degree, nodes = f->grid_nodes;
    const axis_moments *n = &axis[face->normal][parity->odd[face->normal]];
    const axis_moments *u = &axis[face->u][parity->odd[face->u]],
                       *w = &axis[face->w][parity->odd[face->w]];
    const int nu = f->grid[face->u], nw = f->grid[face->w];
    const double *of_axis[3];
    of_axis[face->normal] = n->end;
    for (int r = 0; r < p * p; r++) {
        of_axis[face->u] = u->charge + (face->element_u * p + r / p) * nu;
        of_axis[face->w] = w->charge + (face->element_w * p + r % p) * nw;
        add_product(f, sqrt(8), of_axis, f->to_test[c] + ((int)k * p * p + r) * nodes);
    }
    of_axis[face->normal] = n->end_slope;
    for (int s = 0; s < (p + 1) * (p + 1); s++) {
        of_axis[face->u] = u->shape + (face->element_u * (p + 1) + s / (p + 1)) * nu;
        of_axis[face->w] = w->shape + (face->element_w * (p + 1) + s % (p + 1)) * nw;
        const int at = parity->at_outline[face->trace[s]];
        if (at >= 0)
            add_product(f, sqrt(8), of_axis, f->to_moment[c] + at * nodes);
    }
}

static ll_status fill_matrices(ll_block *f, axis_moments axis[3][2])
{
    for (int k = 0; k < 3; k++)
        for (int odd = 0; odd < 2; odd++) {
            axis_moments *a = &axis[k][odd];
            const size_t row = (size_t)(f->line[k].elements * f->grid[k]);
            a->charge = calloc((2 * (size_t)f->form.degree + 1) * row, sizeof(double));
            if (!a->charge)
                return LL_NO_MEMORY;
            a->shape = a->charge + (size_t)f->form.degree * row;
            const ll_status status = integrate_axis(f, k, odd, a);
            if (status)
                return status;
        }
    for (int c = 0; c < LL_PARITIES; c++) {
        const size_t nodes = (size_t)f->grid_nodes;
        f->to_test[c] = calloc((size_t)f->charges * nodes, sizeof(double));
        f->to_moment[c] = calloc((size_t)f->parity[c].outline * nodes, sizeof(double));
        if (!f->to_test[c] || !f->to_moment[c])
            return LL_NO_MEMORY;
        for (size_t k = 0; k < f->faces; k++)
            add_face(f, c, k, axis);
    }
    return LL_OK;
}

/* Nodes are [octant][z][y][x]. */
static void fill_nodes(ll_block *f)
{
    size_t at = 0;
    for (int o = 0; o < LL_PARITIES; o++)
        for (int i = 0; i < f->grid_nodes; i++) {
            const int x = i % f->grid[0], y = i / f->grid[0] % f->grid[1],
                      z = i / f->grid[0] / f->grid[1];
            f->form.node_m[at++] =
                ll_vec((o & 1 ? -1 : 1) * node_at(f, 0, x), (o & 2 ? -1 : 1) * node_at(f, 1, y),
                       (o & 4 ? -1 : 1) * node_at(f, 2, z));
        }
}

ll_status ll_block_prepare_grid(ll_block *f, int finer)
{
    ll_body_form *form = &f->form;
    const double longest = fmax(f->half_m[0], fmax(f->half_m[1], f->half_m[2]));
    form->least_gap_m = least_gap * longest;
    f->grid_nodes = 1;
    for (int k = 0; k < 3; k++) {
        const double points = 0.5 * points_for(f->half_m[k], form->least_gap_m);
        f->grid[k] = (int)fmin(HALF_MOST, fmax(2, ceil(points)) + finer);
        f->grid_nodes *= f->grid[k];
    }
    form->nodes = form->moments = (size_t)(LL_PARITIES * f->grid_nodes);
    form->node_m = malloc(form->nodes * sizeof *form->node_m);
    if (!form->node_m)
        return LL_NO_MEMORY;
    fill_nodes(f);
    axis_moments axis[3][2];
    memset(axis, 0, sizeof axis);
    const ll_status status = fill_matrices(f, axis);
    for (int k = 0; k < 3; k++)
        for (int odd = 0; odd < 2; odd++)
            free(axis[k][odd].charge);
    return status;
}

/* ---- the functions of a form ---- */

/* moment[n] += m^T[n][rows] x. */
static void add_transposed(int rows, int n, const double *m, const double *x, double *moment)
{
    for (int i = 0; i < rows; i++)
        ll_dense_add((size_t)n, x[i], m + i * n, moment);
}

void ll_block_find_moments(const ll_body_form *form, const double *layer, double *moment)
{
    const ll_block *f = ll_block_of(form);
    memset(moment, 0, form->moments * sizeof *moment);
    for (int c = 0; c < LL_PARITIES; c++) {
        const ll_parity *p = &f->parity[c];
        double *to = moment + c * f->grid_nodes;
        add_transposed(p->outline, f->grid_nodes, f->to_moment[c], layer + p->layer, to);
        add_transposed(f->charges, f->grid_nodes, f->to_test[c],
                       layer + p->layer + (size_t)p->outline, to);
    }
}

void ll_block_test_moments(const ll_body_form *form, const double *psi, double *y)
{
    const ll_block *f = ll_block_of(form);
    for (int c = 0; c < LL_PARITIES; c++)
        ll_dense_multiply_add((size_t)f->charges, (size_t)f->grid_nodes, 1, f->to_test[c],
                              psi + c * f->grid_nodes, y + c * f->charges);
}

void ll_block_combine(const ll_body_form *form, size_t rows, const double *in, double *out)
{
    const ll_block *f = ll_block_of(form);
    const size_t n = (size_t)f->grid_nodes;
    memcpy(out, in, rows * form->nodes * sizeof *out);
    for (size_t row = 0; row < rows; row++, out += form->nodes) {
        ll_parity_sums(out, n, n);
        ll_dense_scale(form->nodes, sqrt(0.125), out);
    }
}
