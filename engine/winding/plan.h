/* plan.h - a winding foretold: what a bobbin will hold of a wire, and how it grows as it is wound.
 *
 * Turns of outside diameter d lie side by side, height / d of them in a layer; a machine or a hand that scatters puts n turns into
 * n d^2 / (packing height) of depth. Length grows with depth, so that a half-wound coil has less than half of its resistance. The wire
 * bears the stress at which annealed copper yields, about 70 MPa (from memory; handbooks have 60 to 80), over its bare section.
 * SI units. Errors: LL_BAD_VALUE, LL_BAD_SIZE; outputs stay untouched then.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_WINDING_PLAN_H
#define LL_WINDING_PLAN_H

#include "base/api.h"
#include "winding/winding.h"
#include <stdbool.h>

LL_API_BEGIN

/* Share of a square lattice that scattered turns reach: 0.7 loose by hand, 0.8 usual, 0.9 by a careful machine, 1 in layers. Common
 * practice, no source. */
#define LL_USUAL_PACKING 0.8

typedef struct ll_winding_plan {
    double turns, per_layer, layers; /* layers: as many as lie on one another at that packing */
    double build_m;                  /* depth that it grows to */
    double outer_x_m, outer_y_m;     /* outside, over the wire */
    double filled;                   /* depth over the room for it; above 1 it does not fit */
    double wire_m, weight_kg;        /* of the copper; enamel weighs some 5 to 10 % more */
    double dcr_ohm;                  /* at temperature_c */
    double quarter_ohm, half_ohm, three_quarters_ohm; /* after so many of the turns */
    double most_n; /* pull on the wire at which it begins to stretch */
} ll_winding_plan;

/* room: the bobbin, build_m the depth that there is for wire. 0 < packing <= 1. */
ll_status ll_plan_turns(const ll_coil_shape *room, double turns, const ll_wire *wire,
                        double packing, double temperature_c, ll_winding_plan *out);

/* The same for the turns that have a resistance at temperature_c, or that weigh so much (as an old winding on a balance, its copper
 * alone). LL_BAD_VALUE where more than 1e6 turns would be needed. */
ll_status ll_plan_resistance(const ll_coil_shape *room, double dcr_ohm, const ll_wire *wire,
                             double packing, double temperature_c, ll_winding_plan *out);
ll_status ll_plan_weight(const ll_coil_shape *room, double weight_kg, const ll_wire *wire,
                         double packing, double temperature_c, ll_winding_plan *out);

LL_API_END

#endif
