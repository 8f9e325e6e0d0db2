/* material.h - what a part is made of: its magnetic law, its conductivity, and where the figures come from.
 *
 * Units: SI (tesla, A/m, S/m). Sign: H along the magnetisation axis is negative in a magnet's
 * second quadrant. Immutable and shared: `ll_material_share` gives another owner, each owner calls
 * `ll_material_free` once; both are safe from several threads.
 *
 * Laws (B and H along one line; soft steels are isotropic, magnets act along their axis):
 *   linear magnet   B = mu0 recoil H + remanence
 *   curved magnet   B(H) monotone through the points of the second quadrant (AlNiCo)
 *   linear steel    B = mu0 mu_r H
 *   curved steel    B(H) monotone through the points, slope mu0 beyond the last
 *   arctangent      B = mu0 H + Js (2/pi) atan(pi mu0 (mu_initial - 1) H / (2 Js))
 *   conductor       B = mu0 H
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MATERIAL_MATERIAL_H
#define LL_MATERIAL_MATERIAL_H

#include "base/api.h"
#include "base/status.h"
#include "material/row.h"
#include <stdbool.h>
#include <stddef.h>

LL_API_BEGIN

typedef struct ll_material ll_material;

/* 0 < remanence_t <= 3, 1 <= recoil <= 100, conductivity_s_m >= 0. */
ll_status ll_material_magnet(double remanence_t, double recoil, double conductivity_s_m,
                             ll_material **out);
/* n >= 2 points (h_a_m <= 0, b_t >= 0), both rising, b no slower than mu0; the last is (0, remanence <= 3). recoil
 * is the relative slope of the line back from an operating point, 1 to 100; 0 takes the curve's own slope at
 * H = 0. LL_BAD_CURVE when the points do not rise so; figures rounded by 1 % of the slope mu0 are let pass. */
ll_status ll_material_magnet_curve(size_t n, const double *h_a_m, const double *b_t, double recoil,
                                   double conductivity_s_m, ll_material **out);
/* mu_r >= 1. */
ll_status ll_material_steel(double mu_r, double conductivity_s_m, ll_material **out);
/* n >= 2 points from (0, 0), h rising, b rising no slower than mu0, with the same allowance. */
ll_status ll_material_steel_curve(size_t n, const double *h_a_m, const double *b_t,
                                  double conductivity_s_m, ll_material **out);
/* Saturation polarisation js_t > 0, mu_initial > 1. */
ll_status ll_material_steel_arctan(double js_t, double mu_initial, double conductivity_s_m,
                                   ll_material **out);
/* conductivity_s_m > 0. */
ll_status ll_material_conductor(double conductivity_s_m, ll_material **out);

/* From the tables, by name without regard to case, spaces and hyphens: "AlNiCo 5", "steel 1010", "brass"; or by a name that the
 * trade has for a row: "Alnico V", "ceramic 8", "N42". LL_UNKNOWN_NAME when there is none, or when it may be several. */
ll_status ll_material_named(const char *name, ll_material **out);

ll_material *ll_material_share(const ll_material *m);
void ll_material_free(ll_material *m);

/* Never NULL; "magnet", "steel" or "conductor" for one that a caller made. */
const char *ll_material_name(const ll_material *m);
ll_material_class ll_material_kind(const ll_material *m);
double ll_material_conductivity_s_m(const ll_material *m);
/* B at H = 0 in tesla; 0 for all but magnets. */
double ll_material_remanence_t(const ll_material *m);
/* The temperature for which tables and figures hold. */
#define LL_TABLES_CELSIUS 20.0
/* Reversible change of a magnet's remanence with temperature near 20 C, a share per kelvin; 0 where none is known. */
double ll_material_remanence_per_k(const ll_material *m);
/* Relative slope of the recoil line (magnets), initial permeability (steel), 1 (conductors). */
double ll_material_mu_r(const ll_material *m);
/* True when B(H) is a straight line. */
bool ll_material_is_linear(const ll_material *m);
/* True when two materials act alike: all figures the same, whatever their names. */
bool ll_material_equal(const ll_material *a, const ll_material *b);
/* B in tesla and dB/dH in H/m at h_a_m along the axis. For steel odd in H. A magnet's curve goes on above H = 0 with the
 * slope it has there. Below its first point the polarisation falls on along the first chord to zero and then mirrors itself
 * down to minus its largest, as the branch of a loop does that is driven to saturation the other way: no datasheet shows that
 * part, and only steel-like corners of a short AlNiCo ever go there. B rises strictly; the slope is continuous but for the
 * ends of a curve. Either output may be NULL. */
void ll_material_b(const ll_material *m, double h_a_m, double *b_t, double *slope_h_m);

LL_API_END

#endif
