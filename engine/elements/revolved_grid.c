/* The rings that stand for a body of revolution from afar.
 *
 * A smooth potential with the angle's part cos m phi is r^m times a polynomial in r^2 and z: it is known everywhere in the
 * body from its values on rings at Chebyshev's points of r^2 and z. Tested so, and with the layers moved to the rings by the
 * transpose of the same interpolation, the body needs nothing of a neighbour but potentials at points. The error falls
 * as exp(-n g / a) with n points over the half length a and a gap g (the ellipse of Bernstein that reaches the neighbour).
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/dense.h"
#include "elements/revolved_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ALONG_MOST = 32 };

/* The gap for which the grid is made, of the body's larger half extent. */
static const double least_gap = 0.4, sharpness = 4.8;

/* The polynomial that is 1 at point k of n and 0 at the others, and its slope. */
static void interpolate(int n, const double *point, int k, double x, double *value, double *slope)
{
    double v = 1, d = 0;
    for (int j = 0; j < n; j++)
        if (j != k) {
            const double scale = 1 / (point[k] - point[j]);
            d = (d * (x - point[j]) + v) * scale;
            v *= (x - point[j]) * scale;
        }
    *value = v;
    *slope = d;
}

/* Points of r^2 and of z. */
typedef struct ll_grid_points {
    double square[ALONG_MOST], z[ALONG_MOST];
} ll_grid_points;

static ll_grid_points chebyshev(const ll_revolved *f)
{
    ll_grid_points p;
    const ll_meridian *m = &f->meridian;
    const double middle = 0.5 * (m->z_m[0] + m->z_m[1]), half = 0.5 * (m->z_m[1] - m->z_m[0]);
    for (int i = 0; i < f->grid_r; i++)
        p.square[i] = m->radius_m * m->radius_m * (0.5 - 0.5 * cos(LL_PI * (i + 0.5) / f->grid_r));
    for (int i = 0; i < f->grid_z; i++)
        p.z[i] = middle - half * cos(LL_PI * (i + 0.5) / f->grid_z);
    return p;
}

/* Interpolation from every ring to (r, z) for harmonic m, and its slopes. */
static void weigh_rings(const ll_revolved *f, const ll_grid_points *p, int m, double r, double z,
                        double *value, double *to_r, double *to_z)
{
    double vz[ALONG_MOST] = {0}, dz[ALONG_MOST] = {0};
    for (int j = 0; j < f->grid_z; j++)
        interpolate(f->grid_z, p->z, j, z, &vz[j], &dz[j]);
    for (int i = 0; i < f->grid_r; i++) {
        double v, d;
        interpolate(f->grid_r, p->square, i, r * r, &v, &d);
        const double ring = sqrt(p->square[i]), power = pow(r / ring, m);
        const double slope = m ? m * pow(r / ring, m - 1) / ring : 0;
        for (int j = 0; j < f->grid_z; j++) {
            const int at = i * f->grid_z + j;
            value[at] = power * v * vz[j];
            to_r[at] = (slope * v + power * d * 2 * r) * vz[j];
            to_z[at] = power * v * dz[j];
        }
    }
}

/* What one wave weighs on the grid's orthonormal waves. */
static double wave_scale(const ll_revolved *f, int m)
{
    return ll_wave_square(m) * sqrt((m ? 2.0 : 1.0) / f->grid_angles);
}

/* Adds one point of a side to both matrices of harmonic m. */
static void add_point(ll_revolved *f, const ll_grid_points *p, size_t k, int i, int m)
{
    double value[ALONG_MOST * ALONG_MOST], to_r[ALONG_MOST * ALONG_MOST],
        to_z[ALONG_MOST * ALONG_MOST];
    const ll_side *side = &f->meridian.side[k];
    const ll_taking_part *part = ll_part_of(f, m);
    const ll_rule *rule = &f->rules.stretch;
    const int degree = f->meridian.degree, layers = ll_wave_layers(f, m);
    const double u = 0.5 * (1 + rule->at[i]), r = side->r[0] + u * (side->r[1] - side->r[0]);
    const double weight = 0.5 * side->length * rule->weight[i] * r * wave_scale(f, m);
    double shape[LL_DEGREE_MOST + 1], slope[LL_DEGREE_MOST + 1], charge[LL_DEGREE_MOST + 1];
    ll_shapes(degree, rule->at[i], shape, slope);
    ll_legendre(degree, rule->at[i], charge);
    weigh_rings(f, p, m, r, side->z[0] + u * (side->z[1] - side->z[0]), value, to_r, to_z);
    for (int g = 0; g < f->grid; g++) {
        double *moment = f->to_moment[m] + (size_t)g * (size_t)layers;
        const double dipole = weight * (to_r[g] * side->n_r + to_z[g] * side->n_z);
        for (int j = 0; j <= degree; j++) {
            const int layer = part->at_outline[side->unknown[j]];
            if (layer >= 0)
                moment[layer] += dipole * shape[j];
        }
        for (int c = 0; c < degree; c++) {
            const int row = (int)k * degree + c;
            moment[part->outline + row] += weight * value[g] * charge[c];
            f->to_test[m][row * f->grid + g] += weight * value[g] * charge[c];
        }
    }
}

static ll_status fill_matrices(ll_revolved *f, const ll_grid_points *p)
{
    for (int m = 0; m <= f->harmonics; m++) {
        const size_t grid = (size_t)f->grid;
        f->to_moment[m] = calloc(grid * (size_t)ll_wave_layers(f, m), sizeof(double));
        f->to_test[m] = calloc(grid * (size_t)f->side_charges, sizeof(double));
        if (!f->to_moment[m] || !f->to_test[m])
            return LL_NO_MEMORY;
        for (size_t k = 0; k < f->meridian.sides; k++)
            for (int i = 0; i < f->rules.stretch.points; i++)
                add_point(f, p, k, i, m);
    }
    return LL_OK;
}

/* A potential that is the same all over the surface makes nothing outside, but its dipoles on rings would: w counts from its mean.
 * mean[layers]: the mean over the surface as a sum over the potentials of m = 0; whole[grid]: the moments of w = 1. */
static void count_from_mean(ll_revolved *f)
{
    const ll_taking_part *part = ll_part_of(f, 0);
    const int degree = f->meridian.degree, layers = ll_wave_layers(f, 0);
    double mean[LL_WAVE_LAYERS_MOST] = {0}, area = 0;
    bool hat[LL_WAVE_LAYERS_MOST] = {false};
    for (size_t k = 0; k < f->meridian.sides; k++) {
        const double *mass = f->mass + k * (size_t)(degree * (degree + 1));
        const int *unknown = f->meridian.side[k].unknown;
        for (int j = 0; j <= degree; j++)
            mean[part->at_outline[unknown[j]]] += mass[j];
        area += mass[0] + mass[1];
        hat[part->at_outline[unknown[0]]] = hat[part->at_outline[unknown[1]]] = true;
    }
    for (int g = 0; g < f->grid; g++) {
        double *moment = f->to_moment[0] + (size_t)g * (size_t)layers, whole = 0;
        for (int i = 0; i < part->outline; i++)
            whole += hat[i] ? moment[i] : 0;
        for (int i = 0; i < part->outline; i++)
            moment[i] -= whole * mean[i] / area;
    }
}

/* How many rings and points: what the least gap wants. */
static void choose_grid(ll_revolved *f, int finer)
{
    const ll_meridian *m = &f->meridian;
    const double half = 0.5 * (m->z_m[1] - m->z_m[0]), radius = m->radius_m;
    const double gap = least_gap * fmax(half, radius);
    const double turns = log(1e4) / log(1 + gap / radius);
    f->grid_r = (int)fmin(8, fmax(4, ceil(0.5 * sharpness * radius / gap))) + finer;
    f->grid_z = (int)fmin(16, fmax(4, ceil(sharpness * half / gap))) + 3 * finer;
    f->grid = f->grid_r * f->grid_z;
    /* Enough for its own harmonics, and for the sum over points to be an integral. */
    const int least = 2 * f->harmonics + 2, wanted = f->harmonics + (int)ceil(turns);
    f->grid_angles = (least > wanted ? least : wanted) + 4 * finer;
    f->form.least_gap_m = gap;
}

static void fill_nodes(ll_revolved *f, const ll_grid_points *p)
{
    const int n = f->grid_angles;
    for (int v = 0; v < f->waves; v++)
        for (int a = 0; a < n; a++) {
            const int m = f->wave[v].m;
            const double turn = 2 * LL_PI * m * (a + 0.5) / n;
            f->grid_wave[v * n + a] =
                sqrt((m ? 2.0 : 1.0) / n) * (f->wave[v].sine ? sin(turn) : cos(turn));
        }
    for (int g = 0; g < f->grid; g++)
        for (int a = 0; a < n; a++) {
            const double angle = 2 * LL_PI * (a + 0.5) / n, r = sqrt(p->square[g / f->grid_z]);
            f->form.node_m[g * n + a] = ll_vec(r * cos(angle), r * sin(angle), p->z[g % f->grid_z]);
        }
}

ll_status ll_revolved_prepare_grid(ll_revolved *f, int finer)
{
    choose_grid(f, finer);
    const ll_grid_points p = chebyshev(f);
    f->form.nodes = (size_t)(f->grid * f->grid_angles);
    f->form.moments = (size_t)(f->grid * f->waves);
    f->form.node_m = malloc(f->form.nodes * sizeof *f->form.node_m);
    f->grid_wave = malloc((size_t)(f->waves * f->grid_angles) * sizeof *f->grid_wave);
    if (!f->form.node_m || !f->grid_wave)
        return LL_NO_MEMORY;
    fill_nodes(f, &p);
    const ll_status status = fill_matrices(f, &p);
    if (!status)
        count_from_mean(f);
    return status;
}

/* ---- the functions of a form ---- */

void ll_revolved_find_moments(const ll_body_form *form, const double *layer, double *moment)
{
    const ll_revolved *f = ll_revolved_of(form);
    memset(moment, 0, form->moments * sizeof *moment);
    for (int v = 0; v < f->waves; v++) {
        const int m = f->wave[v].m;
        ll_dense_multiply_add((size_t)f->grid, (size_t)ll_wave_layers(f, m), 1, f->to_moment[m],
                              layer + f->wave[v].layer, moment + v * f->grid);
    }
}

void ll_revolved_test_moments(const ll_body_form *form, const double *psi, double *y)
{
    const ll_revolved *f = ll_revolved_of(form);
    for (int v = 0; v < f->waves; v++)
        ll_dense_multiply_add((size_t)f->side_charges, (size_t)f->grid, 1, f->to_test[f->wave[v].m],
                              psi + v * f->grid, y + f->wave[v].lambda - form->potentials);
}

void ll_revolved_combine(const ll_body_form *form, size_t rows, const double *in, double *out)
{
    const ll_revolved *f = ll_revolved_of(form);
    const size_t n = (size_t)f->grid_angles;
    for (size_t row = 0; row < rows; row++, in += form->nodes, out += form->moments)
        for (int v = 0; v < f->waves; v++)
            for (int g = 0; g < f->grid; g++)
                out[v * f->grid + g] =
                    ll_dense_dot(n, f->grid_wave + (size_t)v * n, in + (size_t)g * n);
}
