/* winding.h - wire and the coil that it makes, seen by an ohm meter and an LCR bridge.
 *
 * SI units throughout; temperatures in degrees Celsius.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_WINDING_WINDING_H
#define LL_WINDING_WINDING_H

#include "base/api.h"
#include "base/status.h"
#include <stddef.h>

LL_API_BEGIN

/* Copper wire: the bare and the insulated diameter with their tolerance. */
typedef struct ll_wire {
    double bare_m, bare_min_m, bare_max_m;
    double outside_m, outside_min_m, outside_max_m;
    const char *source;
} ll_wire;

typedef enum ll_wire_build { LL_SINGLE_BUILD, LL_HEAVY_BUILD } ll_wire_build;

/* Bare diameter from the gauge formula (ASTM B258). Limits and enamel from NEMA MW 1000 for 36, 38 and 40 to 46;
 * between and beyond as ratios like the nearest ones. LL_BAD_VALUE outside 30 to 50. */
ll_status ll_wire_awg(double gauge, ll_wire_build build, ll_wire *out);
/* Any bare diameter in m within the same range (0.025 to 0.255 mm); enamel like the nearest gauges. */
ll_status ll_wire_metric(double bare_m, ll_wire_build build, ll_wire *out);

/* Ohm per metre of copper of the given bare diameter at temperature_c (IEC 60028). */
double ll_wire_ohm_per_m(double bare_m, double temperature_c);
/* Kilograms of a metre of copper of the given bare diameter (8.89 g/cm3: IEC 60028). */
double ll_wire_kg_per_m(double bare_m);
/* Resistance of copper at temperature_c over that at 20 C (IEC 60028); not above 0 where no copper can be so cold. */
double ll_copper_over_20_c(double temperature_c);

/* A coil of rectangular winding cross-section on a racetrack: axis along its own z, centred. */
typedef struct ll_coil_shape {
    double opening_x_m, opening_y_m; /* clear hole inside the winding */
    double corner_m;                 /* inner corner radius, at most half the shorter opening */
    double build_m;                  /* radial thickness of the winding */
    double height_m;                 /* axial length */
} ll_coil_shape;

/* LL_BAD_VALUE for a length that is not finite or a corner radius that does not fit the opening, LL_BAD_SIZE for a
 * length that is not greater than zero (the corner radius may be zero). */
ll_status ll_coil_check(const ll_coil_shape *coil);

/* What follows from the shape, the turns and the wire. */
typedef struct ll_winding {
    double turns;
    double mean_turn_m;
    double wire_m;
    double dcr_ohm;     /* at temperature_c */
    double copper_fill; /* copper area over winding window */
    double
        wire_fill; /* insulated wire (as squares) over winding window; above 1 it cannot be wound */
    double weight_kg; /* copper only */
} ll_winding;

/* Length of the turn at depth_m from the inside of the winding, 0 to build. */
double ll_coil_turn_m(const ll_coil_shape *coil, double depth_m);

/* LL_BAD_SIZE or LL_BAD_VALUE for a coil that cannot be. */
ll_status ll_winding_sheet(const ll_coil_shape *coil, double turns, const ll_wire *wire,
                           double temperature_c, ll_winding *out);
/* The other way round: turns that give this resistance. */
ll_status ll_winding_turns_for(const ll_coil_shape *coil, double dcr_ohm, const ll_wire *wire,
                               double temperature_c, double *turns);

/* Own capacitance of a scatter-wound coil, without leads, screens and grounded poles: the energy between neighbouring
 * turns; winding.c states the model and its sources. low is a perfectly layered winding, high a wild one.
 * permittivity_r is the enamel's (about 3.5 to 4), 1 or more; the wire must have some enamel. */
typedef struct ll_capacitance {
    double c_f, low_f, high_f;
} ll_capacitance;
ll_status ll_winding_capacitance(const ll_coil_shape *coil, double turns, const ll_wire *wire,
                                 double permittivity_r, ll_capacitance *out);

/* Between a winding's inside and earthed metal that fills `share` (0 to 1) of its opening's wall, a plate capacitor over a bobbin's
 * wall. What of it counts goes as the square of the voltage that the innermost turns have. LL_BAD_SIZE, LL_BAD_VALUE. */
ll_status ll_winding_to_core(const ll_coil_shape *coil, double wall_m, double permittivity_r,
                             double share, double *c_f);

LL_API_END

#endif
