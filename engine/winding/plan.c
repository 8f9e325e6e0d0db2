/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "winding/plan.h"
#include "base/constants.h"

#include <math.h>

#define YIELD_PA 70e6
enum { MOST_TURNS = 1000000 };

/* A coil of the bobbin's that is wound to a depth. */
static ll_coil_shape wound_to(const ll_coil_shape *room, double depth_m)
{
    ll_coil_shape coil = *room;
    coil.build_m = depth_m;
    return coil;
}

static double depth_of(const ll_coil_shape *room, double turns, const ll_wire *wire, double packing)
{
    return turns * wire->outside_m * wire->outside_m / (packing * room->height_m);
}

static ll_status sheet_of(const ll_coil_shape *room, double turns, const ll_wire *wire,
                          double packing, double temperature_c, ll_winding *out)
{
    const ll_coil_shape coil = wound_to(room, depth_of(room, turns, wire, packing));
    return ll_winding_sheet(&coil, turns, wire, temperature_c, out);
}

ll_status ll_plan_turns(const ll_coil_shape *room, double turns, const ll_wire *wire,
                        double packing, double temperature_c, ll_winding_plan *out)
{
    ll_status status = ll_coil_check(room);
    if (!status && !(packing > 0 && packing <= 1 && turns >= 1 && turns <= MOST_TURNS))
        status = LL_BAD_VALUE;
    ll_winding sheet[4];
    for (int k = 0; k < 4 && !status; k++)
        status = sheet_of(room, turns * (k + 1) / 4, wire, packing, temperature_c, &sheet[k]);
    if (status)
        return status;
    const double build = depth_of(room, turns, wire, packing);
    const double per_layer = floor(room->height_m / wire->outside_m);
    *out = (ll_winding_plan){.turns = turns,
                             .per_layer = per_layer,
                             .layers = per_layer > 0 ? turns / (per_layer * packing) : 0,
                             .build_m = build,
                             .outer_x_m = room->opening_x_m + 2 * build,
                             .outer_y_m = room->opening_y_m + 2 * build,
                             .filled = build / room->build_m,
                             .wire_m = sheet[3].wire_m,
                             .weight_kg = sheet[3].weight_kg,
                             .dcr_ohm = sheet[3].dcr_ohm,
                             .quarter_ohm = sheet[0].dcr_ohm,
                             .half_ohm = sheet[1].dcr_ohm,
                             .three_quarters_ohm = sheet[2].dcr_ohm,
                             .most_n = YIELD_PA * 0.25 * LL_PI * wire->bare_m * wire->bare_m};
    return LL_OK;
}

/* The turns whose wire is so long: length grows with the turns, and so with the square of them beside that. */
static ll_status turns_of_length(const ll_coil_shape *room, double length_m, const ll_wire *wire,
                                 double packing, double *turns)
{
    const double inner_m = ll_coil_turn_m(room, 0), unit_m = room->build_m;
    const double slope = (ll_coil_turn_m(room, unit_m) - inner_m) / unit_m;
    /* n (inner + slope depth(n) / 2) = length, depth = n depth(1). */
    const double a = 0.5 * slope * depth_of(room, 1, wire, packing);
    *turns = 2 * length_m / (inner_m + sqrt(inner_m * inner_m + 4 * a * length_m));
    return isfinite(*turns) ? LL_OK : LL_BAD_VALUE;
}

static ll_status plan_length(const ll_coil_shape *room, double length_m, const ll_wire *wire,
                             double packing, double temperature_c, ll_winding_plan *out)
{
    double turns;
    ll_status status = ll_coil_check(room);
    if (!status && !(length_m > 0 && isfinite(length_m) && packing > 0 && packing <= 1))
        status = LL_BAD_VALUE;
    if (!status)
        status = turns_of_length(room, length_m, wire, packing, &turns);
    return status ? status : ll_plan_turns(room, turns, wire, packing, temperature_c, out);
}

ll_status ll_plan_resistance(const ll_coil_shape *room, double dcr_ohm, const ll_wire *wire,
                             double packing, double temperature_c, ll_winding_plan *out)
{
    return plan_length(room, dcr_ohm / ll_wire_ohm_per_m(wire->bare_m, temperature_c), wire,
                       packing, temperature_c, out);
}

ll_status ll_plan_weight(const ll_coil_shape *room, double weight_kg, const ll_wire *wire,
                         double packing, double temperature_c, ll_winding_plan *out)
{
    return plan_length(room, weight_kg / ll_wire_kg_per_m(wire->bare_m), wire, packing,
                       temperature_c, out);
}
