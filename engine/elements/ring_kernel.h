/* ring_kernel.h - the potential of charged rings about one axis, harmonic by harmonic.
 *
 * A ring of radius s at height t with the line charge cos m phi' has at (r, phi, z) the potential s g_m cos m phi,
 *     g_m = Q_(m-1/2)(chi) / (2 pi sqrt(r s)),   chi = 1 + ((r - s)^2 + (z - t)^2) / (2 r s),
 * and the same with sines: the expansion of 1 / (4 pi R) in toroidal functions (H. S. Cohl, J. E. Tohline, Astrophys. J. 527
 * (1999) 86). Q_(-1/2) and Q_(1/2) come from complete elliptic integrals by the arithmetic-geometric mean (M. Abramowitz,
 * I. Stegun, 8.13, 17.6), the others by their recurrence, forwards where chi is near 1 and as ratios backwards elsewhere, since
 * forwards it loses all digits there (W. Gautschi, SIAM Rev. 9 (1967) 24).
 *
 * Metres; relative error 1e-9 or better for m up to LL_HARMONIC_MOST. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_RING_KERNEL_H
#define LL_ELEMENTS_RING_KERNEL_H

enum { LL_HARMONIC_MOST = 12, LL_RINGS_TOGETHER = 32 };

/* g_m and its derivatives to the ring's own s and t, of several rings at once: [m][ring]. */
typedef struct ll_ring_kernels {
    double g[LL_HARMONIC_MOST + 1][LL_RINGS_TOGETHER];
    double to_s[LL_HARMONIC_MOST + 1][LL_RINGS_TOGETHER];
    double to_t[LL_HARMONIC_MOST + 1][LL_RINGS_TOGETHER];
} ll_ring_kernels;

/* For harmonics 0 .. most at (r > 0, z) and n <= LL_RINGS_TOGETHER rings (s > 0, t), none of them through the point. */
void ll_ring_kernels_find(int most, double r, double z, int n, const double *s, const double *t,
                          ll_ring_kernels *out);

#endif
