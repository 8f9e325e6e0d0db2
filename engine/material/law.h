/* law.h - inside of a material: the law B(H) and how it is evaluated. Private to this folder.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MATERIAL_LAW_H
#define LL_MATERIAL_LAW_H

#include "base/status.h"
#include <stdbool.h>
#include <stddef.h>

/* Twice what any magnet has; more is a slip of units. */
#define LL_MOST_REMANENCE_T 3.0

/* One piece of a curve: B = b + t (slope + t (square + t cube)) with t = H - h. */
typedef struct ll_piece {
    double h_a_m, b_t, slope, square, cube;
} ll_piece;

typedef struct ll_law ll_law;

/* Everything a law needs, computed once; read-only afterwards, so threads share it freely. */
struct ll_law {
    void (*b_of_h)(const ll_law *law, double h_a_m, double *b_t, double *slope_h_m);
    double remanence_t; /* B at H = 0 */
    double slope_h_m;   /* straight laws: dB/dH */
    double js_t;        /* arctangent: saturation polarisation */
    double gain_m_a;    /* arctangent: the factor of H inside the arctangent */
    size_t n;           /* curves: pieces, the last of which is straight and endless */
    ll_piece *pieces;
};

ll_law ll_law_straight(double remanence_t, double mu_r);
bool ll_law_is_straight(const ll_law *law);

/* LL_BAD_VALUE when the figures are out of range. */
ll_status ll_law_arctan(double js_t, double mu_initial, ll_law *out);

/* Curves through n >= 2 points. LL_BAD_VALUE for figures that are not finite, LL_BAD_CURVE for points that do
 * not rise, or rise more than 1 % slower than mu0, LL_BAD_VALUE for too much remanence. The caller frees out->pieces. */
ll_status ll_law_steel_curve(size_t n, const double (*hb)[2], ll_law *out);
ll_status ll_law_magnet_curve(size_t n, const double (*hb)[2], ll_law *out);

#endif
