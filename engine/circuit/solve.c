/* solve.c - transfer and noise of a circuit at one frequency.
 *
 * Unknowns are the node voltages v and the branch currents i, which enter the hot node. A branch with source e obeys
 *     p (v_hot - v_cold) + q i + sum of j w M i' = p e,
 * a resistor with p = 1, q = R, a coil with q = R + j w L, a capacitor with p = j w C, q = 1: shorts and missing
 * capacitance need no case of their own. Currents are counted in volts over REFERENCE and each branch's equation is
 * scaled to 1, so that rounding does not care for the size of the resistances.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/gsl.h"
#include "circuit/circuit_data.h"
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = LL_CIRCUIT_NODES + LL_CIRCUIT_BRANCHES };

/* An impedance of the middle size, in ohm. */
#define REFERENCE 1e4
/* A pivot below this share of the largest is rounding of zero. */
#define SINGULAR 1e-14

/* One branch at one frequency; q, and the mutual parts below, in units of REFERENCE. */
typedef struct branch_law {
    double complex p, q;
    double l_h, scale;
} branch_law;

/* The rows are followed over the logarithm of the frequency and held beyond their ends. */
static ll_coil_row coil_at(const ll_branch *coil, double f_hz)
{
    const ll_coil_row *rows = coil->rows;
    size_t i = 0;
    while (i < coil->count && rows[i].f_hz < f_hz)
        i++;
    ll_coil_row at = rows[i < coil->count ? i : coil->count - 1];
    if (i > 0 && i < coil->count) {
        const double share = log(f_hz / rows[i - 1].f_hz) / log(rows[i].f_hz / rows[i - 1].f_hz);
        at.r_ohm = rows[i - 1].r_ohm + share * (rows[i].r_ohm - rows[i - 1].r_ohm);
        at.l_h = rows[i - 1].l_h + share * (rows[i].l_h - rows[i - 1].l_h);
    }
    at.r_ohm *= coil->value;
    at.l_h *= coil->value * coil->value;
    return at;
}

static branch_law law_of(const ll_branch *branch, double f_hz)
{
    const double w = 2 * LL_PI * f_hz;
    branch_law law = {1, 1, 0, 1};
    if (branch->kind == LL_CAPACITOR) {
        law.p = I * (w * branch->value * REFERENCE);
    } else if (branch->kind == LL_RESISTOR) {
        law.q = branch->value / REFERENCE;
    } else {
        const ll_coil_row coil = coil_at(branch, f_hz);
        law.q = (coil.r_ohm + I * (w * coil.l_h)) / REFERENCE;
        law.l_h = coil.l_h;
    }
    law.scale = 1 / fmax(cabs(law.p), cabs(law.q));
    return law;
}

/* A term of an equation, written to the transposed matrix; ground has neither equation nor unknown. */
static void put(double complex *matrix, size_t n, size_t equation, size_t unknown,
                double complex term)
{
    matrix[unknown * n + equation] += term;
}

static void put_branch(const ll_circuit *circuit, size_t k, const branch_law *laws, double f_hz,
                       double complex *matrix)
{
    const ll_branch *branch = &circuit->branch[k];
    const branch_law *own = &laws[k];
    const size_t n = circuit->nodes + circuit->branches, row = circuit->nodes + k;
    if (branch->hot > 0) {
        put(matrix, n, branch->hot - 1, row, 1);
        put(matrix, n, row, branch->hot - 1, own->scale * own->p);
    }
    if (branch->cold > 0) {
        put(matrix, n, branch->cold - 1, row, -1);
        put(matrix, n, row, branch->cold - 1, -own->scale * own->p);
    }
    put(matrix, n, row, row, own->scale * own->q);
    for (size_t j = 0; j < circuit->branches; j++) {
        const double m_h = circuit->coupling[k][j] * sqrt(own->l_h * laws[j].l_h);
        put(matrix, n, row, circuit->nodes + j,
            I * (own->scale * 2 * LL_PI * f_hz * m_h / REFERENCE));
    }
}

/* The size of the factor's smallest pivot against its largest. */
static double pivot_ratio(const double complex *factor, size_t n)
{
    double least = INFINITY, most = 0;
    for (size_t i = 0; i < n; i++) {
        const double size = cabs(factor[i * n + i]);
        least = fmin(least, size);
        most = fmax(most, size);
    }
    return least / most;
}

/* y[n] = matrix^-1 unit vector of the node; the matrix is overwritten. */
static ll_status answer(double complex *matrix, size_t n, size_t node, double complex *y)
{
    double complex unit[MOST] = {0};
    size_t order[MOST];
    int sign = 0;
    unit[node - 1] = 1;
    gsl_matrix_complex_view m = gsl_matrix_complex_view_array((double *)matrix, n, n);
    gsl_vector_complex_view b = gsl_vector_complex_view_array((double *)unit, n);
    gsl_vector_complex_view x = gsl_vector_complex_view_array((double *)y, n);
    gsl_permutation permutation = {n, order};
    if (gsl_linalg_complex_LU_decomp(&m.matrix, &permutation, &sign))
        return LL_LIBRARY;
    if (!(pivot_ratio(matrix, n) > SINGULAR))
        return LL_NOT_SOLVABLE;
    if (gsl_linalg_complex_LU_solve(&m.matrix, &permutation, &b.vector, &x.vector))
        return LL_LIBRARY;
    return LL_OK;
}

ll_status ll_circuit_transfer(const ll_circuit *circuit, size_t node, double f_hz,
                              double complex *transfer)
{
    if (node == 0 || node > circuit->nodes || !(f_hz > 0) || !isfinite(f_hz))
        return LL_BAD_VALUE;
    const size_t n = circuit->nodes + circuit->branches;
    double complex *matrix = calloc(n * n, sizeof *matrix), y[MOST];
    if (!matrix)
        return LL_NO_MEMORY;
    branch_law laws[LL_CIRCUIT_BRANCHES] = {{0}};
    for (size_t k = 0; k < circuit->branches; k++)
        laws[k] = law_of(&circuit->branch[k], f_hz);
    for (size_t k = 0; k < circuit->branches; k++)
        put_branch(circuit, k, laws, f_hz, matrix);
    const ll_status status = answer(matrix, n, node, y);
    for (size_t k = 0; k < circuit->branches && status == LL_OK; k++)
        transfer[k] = y[circuit->nodes + k] * laws[k].scale * laws[k].p;
    free(matrix);
    return status;
}

ll_status ll_circuit_noise_density(const ll_circuit *circuit, size_t node, double f_hz,
                                   double *v2_per_hz)
{
    double complex transfer[LL_CIRCUIT_BRANCHES];
    const ll_status status = ll_circuit_transfer(circuit, node, f_hz, transfer);
    if (status)
        return status;
    double sum_ohm = 0;
    for (size_t k = 0; k < circuit->branches; k++) {
        const ll_branch *branch = &circuit->branch[k];
        const double size = cabs(transfer[k]);
        sum_ohm += size * size *
                   (branch->kind == LL_COIL       ? coil_at(branch, f_hz).r_ohm
                    : branch->kind == LL_RESISTOR ? branch->value
                                                  : 0);
    }
    *v2_per_hz = 4 * LL_BOLTZMANN * LL_ROOM_K * sum_ohm;
    return LL_OK;
}
