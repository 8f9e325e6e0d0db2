/* winding.c - length, resistance, fill and weight of a coil, and its own capacitance.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "winding.h"
#include "base/constants.h"
#include <math.h>

/* Vacuum permittivity in F/m (CODATA 2018, to 1e-9). */
#define EPSILON0 8.854187813e-12

/* Turn length grows linearly with depth, so the mean turn lies half way through the build. */
static double mean_turn(const ll_coil_shape *coil)
{
    return ll_coil_turn_m(coil, 0.5 * coil->build_m);
}

static ll_status check(const ll_coil_shape *coil, double amount, const ll_wire *wire,
                       double temperature_c)
{
    const ll_status status = ll_coil_check(coil);
    if (status)
        return status;
    if (!(amount > 0 && isfinite(amount) && temperature_c > -234.5 && isfinite(temperature_c)))
        return LL_BAD_VALUE;
    if (!isfinite(wire->bare_m) || !isfinite(wire->outside_m))
        return LL_BAD_VALUE;
    return wire->bare_m > 0 && wire->outside_m >= wire->bare_m ? LL_OK : LL_BAD_SIZE;
}

ll_status ll_winding_sheet(const ll_coil_shape *coil, double turns, const ll_wire *wire,
                           double temperature_c, ll_winding *out)
{
    const ll_status status = check(coil, turns, wire, temperature_c);
    if (status)
        return status;
    const double window = coil->build_m * coil->height_m, length = turns * mean_turn(coil);
    const double copper = 0.25 * LL_PI * wire->bare_m * wire->bare_m;
    *out = (ll_winding){.turns = turns,
                        .mean_turn_m = mean_turn(coil),
                        .wire_m = length,
                        .dcr_ohm = length * ll_wire_ohm_per_m(wire->bare_m, temperature_c),
                        .copper_fill = turns * copper / window,
                        .wire_fill = turns * wire->outside_m * wire->outside_m / window,
                        .weight_kg = length * ll_wire_kg_per_m(wire->bare_m)};
    return LL_OK;
}

ll_status ll_winding_turns_for(const ll_coil_shape *coil, double dcr_ohm, const ll_wire *wire,
                               double temperature_c, double *turns)
{
    const ll_status status = check(coil, dcr_ohm, wire, temperature_c);
    if (status)
        return status;
    *turns = dcr_ohm / (mean_turn(coil) * ll_wire_ohm_per_m(wire->bare_m, temperature_c));
    return LL_OK;
}

/* Capacitance per metre between two parallel enamelled wires that touch, over the quarter turn that faces each
 * other in a square lattice: enamel and air in series along each radius (A. Massarini, M. K. Kazimierczuk, IEEE
 * Trans. Power Electron. 12 (1997) 671; from memory, with pi/4 for their hexagonal pi/6). */
static double touching_wires_f_per_m(const ll_wire *wire, double permittivity_r)
{
    const double k = 1.0 + log(wire->outside_m / wire->bare_m) / permittivity_r;
    const double root = sqrt(k * k - 1.0);
    return EPSILON0 * 2.0 / root * atan((k + 1.0) / root * tan(LL_PI / 8.0));
}

/* The energy method: half C V^2 is the sum over neighbouring turns of half c l (difference of voltage)^2. Voltage grows
 * with the number of the turn, V / p through one of p layers' worth of wire. A turn of a scatter winding lies where its
 * number would put it to within +- s layers, evenly spread. Then a neighbour one diameter deeper differs by V / p in the
 * mean with variance 2 s^2 / 3 (V / p)^2, one at the same depth with the variance alone, and a turn has one
 * of each to itself in a square lattice:
 *     C = N c l (1 + 4 s^2 / 3) / p^2.
 * s = 1/2 is a perfectly layered winding, wound to and fro: 4 N c l / (3 p^2), the layer formula of the handbooks
 * (J. Biela, J. W. Kolar, IEEE Trans. Ind. Appl. 44 (2008) 3; from memory). s = 1 is taken for scatter, 3/2 for a wild
 * one. Leads, screens and grounded poles come on top. */
static double scattered(double base_f, double s)
{
    return base_f * (1.0 + 4.0 / 3.0 * s * s);
}

ll_status ll_winding_capacitance(const ll_coil_shape *coil, double turns, const ll_wire *wire,
                                 double permittivity_r, ll_capacitance *out)
{
    const ll_status status = check(coil, turns, wire, 20.0);
    if (status)
        return status;
    if (!(permittivity_r >= 1 && isfinite(permittivity_r)) || wire->outside_m <= wire->bare_m)
        return LL_BAD_VALUE;
    const double pitch = sqrt(coil->build_m * coil->height_m / turns);
    const double layers = fmax(coil->build_m / pitch, 1.0);
    const double base =
        turns * touching_wires_f_per_m(wire, permittivity_r) * mean_turn(coil) / (layers * layers);
    *out = (ll_capacitance){scattered(base, 1.0), scattered(base, 0.5), scattered(base, 1.5)};
    return LL_OK;
}

ll_status ll_winding_to_core(const ll_coil_shape *coil, double wall_m, double permittivity_r,
                             double share, double *c_f)
{
    const ll_status status = ll_coil_check(coil);
    if (status)
        return status;
    if (!(permittivity_r >= 1 && isfinite(permittivity_r)) || !(share >= 0 && share <= 1))
        return LL_BAD_VALUE;
    if (!(wall_m > 0))
        return LL_BAD_SIZE;
    *c_f = share * EPSILON0 * permittivity_r * ll_coil_turn_m(coil, 0) * coil->height_m / wall_m;
    return LL_OK;
}
