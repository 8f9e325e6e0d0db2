/* hysteresis.h - a magnet that is charged: from the virgin state, over minor loops, to what is left. Internal.
 *
 * The material is a crowd of single-domain grains that do not see each other (Stoner and Wohlfarth, Phil. Trans. R. Soc. A 240
 * (1948) 599). Each is magnetised one way or the other, turns round where |H| passes its own switching field, and bends
 * reversibly by r(H) in between. P(h) is the share of grains that switch below h; mu, from -1 to 1, the share one way less that
 * the other way:
 *   J = (1 + mu) / 2 (Jr + r(H)) - (1 - mu) / 2 (Jr + r(-H)),    a virgin grain is half of each.
 * Remanence from the virgin and from the charged state then obey Wohlfarth's relation (J. Appl. Phys. 29 (1958) 595):
 *   charged from virgin by h and let go: mu = P(h); charged to the full and knocked back by h: mu = 1 - 2 P(h).
 *
 * r and P come from the demagnetisation curve alone, so that a fully charged magnet follows it exactly:
 *   r'(H) against the charge: the slope of the recoil line, or that of the curve where it is flatter (no recoil is steeper);
 *   r(H) along it: that slope at H = 0, levelling off within twice the coercive field (assumption: no table tells saturation);
 *   P(h) up to the field Hcr that leaves no remanence: what of the curve r does not explain;
 *   P(h) beyond: 1 - P(Hcr^2 / h), even about Hcr on a logarithmic scale as log-normal distributions are (assumption).
 * A law that is straight has its coercive field given, and P(h) = 1 / (1 + (Hc / h)^10).
 *
 * Left out: grains that act on each other (a real magnet takes charge later, and loses it earlier, than Wohlfarth's relation says, by up
 * to some tenths of mu half way up), time, heat, and turning away from the axis.
 * SI units, along the magnet's axis. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MATERIAL_HYSTERESIS_H
#define LL_MATERIAL_HYSTERESIS_H

#include "material/material.h"

typedef struct ll_hysteresis ll_hysteresis;

/* coercivity_a_m counts for a straight law alone, which needs it. LL_BAD_VALUE for a material that is no magnet or a straight law
 * without one; LL_BAD_CURVE for a curve that never comes to zero; LL_NO_MEMORY. The caller frees *out. */
ll_status ll_hysteresis_new(const ll_material *magnet, double coercivity_a_m, ll_hysteresis **out);
void ll_hysteresis_free(ll_hysteresis *loop);
/* The field in A/m that takes all remanence from a fully charged piece; greater than 0. */
double ll_hysteresis_coercivity_a_m(const ll_hysteresis *loop);
/* P(h), h >= 0, and its derivative (m/A); slope may be NULL. */
double ll_hysteresis_switched(const ll_hysteresis *loop, double h_a_m, double *slope);

/* Where the field turned, of falling size and alternating sign: grains that switch below the last are as that one left them. */
enum { LL_TURNS_MOST = 63 };
typedef struct ll_turns {
    int n; /* 0: virgin */
    double at_a_m[LL_TURNS_MOST];
} ll_turns;

/* B in tesla, and dB/dH in H/m (or NULL), when the field goes to h_a_m from those turns; B rises with h_a_m. */
double ll_hysteresis_b(const ll_hysteresis *loop, const ll_turns *turns, double h_a_m,
                       double *slope_h_m);
/* mu once the field has gone there: what is left of full charge when it is zero again. */
double ll_hysteresis_charge(const ll_hysteresis *loop, const ll_turns *turns, double h_a_m);
/* The turns become what they are when the field has gone there. More than there is room for: two are forgotten between which the
 * fewest grains switch. */
void ll_hysteresis_turn(const ll_hysteresis *loop, ll_turns *turns, double h_a_m);

#endif
