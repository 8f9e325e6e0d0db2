/* azimuthal.h - currents that run around an axis: the vector potential A = A_phi(r, z) on the cells of a meridian and outside of
 * them, and the patterns of current that decay by themselves.
 *
 * With B = curl A, nu the inverse of the relative permeability (a tensor in r and z), sigma the conductivity, a source's field
 * A_s and tau = mu0 H along t = (-n_z, n_r) on the outline, n outwards, factor 2 pi left out:
 *     inside    integral (B(a) . nu B(A) + mu0 sigma a dA/dt) r dr dz = integral a tau r ds      for every a, A = 0 on the axis
 *     outside   (1/2 - C) A + S tau = A_s,     (1/2 + C') tau + N A = tau_s
 *               S tau = integral g_1 tau s ds,   C A = integral (dg_1/dn + (n_r / s) g_1) A s ds
 *               integral a N A r ds = integral integral g_0 d(r a)/ds d(s A)/ds
 * with the ring kernels g_m of ring_kernel.h. A is of degree p on the cells, tau of degree p - 1 with jumps. Both outside
 * equations are used, so that what is left when tau is gone is symmetric and positive:
 *     (K + N + H' S^-1 H) A + M dA/dt = f,   H = 1/2 - C tested by tau's functions, f = tau_s + H' S^-1 A_s.
 * The first of the two alone gives a matrix of which some values are negative where nu is small (tubes of steel).
 *
 * The solutions for real rates s (K + s M) A = f span what any frequency asks for. In that space K and M are diagonal together:
 * pattern k is a current that decays with its time constant tau_k, and two sources i and j link by
 *     change_ij(j w) = - sum over k of w_ik w_jk j w tau_k / (1 + j w tau_k)
 * more than they do at rest: reciprocal and lossy by its form, the losses being those of the currents.
 *
 * SI units, the whole turn in all figures that leave here. Immutable once made. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_AZIMUTHAL_H
#define LL_ELEMENTS_AZIMUTHAL_H

#include "elements/meridian.h"

/* At a point: inverse relative permeability, and conductivity. */
typedef struct ll_filling {
    double nu_rr, nu_rz, nu_zz, sigma_s_m;
} ll_filling;
/* What fills a cell at (r, z). */
typedef ll_filling (*ll_filling_at)(void *context, const ll_cell *cell, double r, double z);

typedef struct ll_azimuthal ll_azimuthal;

/* Keeps its own share of the meridian, which it clears in the end, whatever happens. LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_azimuthal_new(ll_meridian *meridian, ll_filling_at filling, void *context,
                           ll_azimuthal **out);
void ll_azimuthal_free(ll_azimuthal *a);

/* The points of the outline at which a source is asked for. */
size_t ll_azimuthal_points(const ll_azimuthal *a);
void ll_azimuthal_point(const ll_azimuthal *a, size_t i, double *r, double *z);
/* A source by its vector potential (Wb/m) and its B along r and z (T) at those points. Sources come before patterns. */
ll_status ll_azimuthal_add_source(ll_azimuthal *a, const double *a_wb_m, const double *b_r,
                                  const double *b_z);

/* Finds the patterns for frequencies from f_low_hz to f_high_hz. LL_NO_MEMORY, LL_LIBRARY. */
ll_status ll_azimuthal_find_patterns(ll_azimuthal *a, double f_low_hz, double f_high_hz);
size_t ll_azimuthal_patterns(const ll_azimuthal *a);
double ll_azimuthal_time_s(const ll_azimuthal *a, size_t k);
/* The weight w_ik in sqrt(henry) of a source of one ampere. */
double ll_azimuthal_weight(const ll_azimuthal *a, size_t source, size_t k);
/* What the body adds at rest to the inductance of sources i and j, without currents. */
double ll_azimuthal_static_h(const ll_azimuthal *a, size_t i, size_t j);
/* `count` sums of patterns, amplitude[count][patterns] in units of ll_azimuthal_weight: H along r and z, h_r[count][n] and
 * h_z[count][n] in A/m, at n points outside. LL_NO_MEMORY. */
ll_status ll_azimuthal_h(const ll_azimuthal *a, size_t count, const double *amplitude, size_t n,
                         const double *r, const double *z, double *h_r, double *h_z);

#endif
