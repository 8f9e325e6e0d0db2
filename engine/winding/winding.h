/* winding.h - wire and the coil that it makes, seen by an ohm meter and an LCR bridge.
 *
 * SI units throughout; temperatures in degrees Celsius.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_WINDING_WINDING_H
#define LL_WINDING_WINDING_H

#include "base/status.h"
#include <stddef.h>

/* Copper wire: the bare and the insulated diameter with their tolerance. */
typedef struct ll_wire {
    double bare_m, bare_min_m, bare_max_m;
    double outside_m, outside_min_m, outside_max_m;
    const char *source;
} ll_wire;

typedef enum ll_wire_build { LL_SINGLE_BUILD, LL_HEAVY_BUILD } ll_wire_build;

/* AWG 36 to 46, whole numbers tabulated, other sizes from the gauge formula (then outside from the
 * neighbours). LL_BAD_VALUE outside 30 to 50. */
ll_status ll_wire_awg(double gauge, ll_wire_build build, ll_wire *out);
/* Any bare diameter in m; outside from the nearest tabulated gauge's enamel. */
ll_status ll_wire_metric(double bare_m, ll_wire_build build, ll_wire *out);

/* Ohm per metre of copper of the given bare diameter at temperature_c (IEC 60028). */
double ll_wire_ohm_per_m(double bare_m, double temperature_c);

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

/* Own capacitance of a scatter-wound coil: the two halves of the winding's height as electrodes are not it;
 * see winding.c for the model and its source. low/high bound the usual spread. */
typedef struct ll_capacitance {
    double c_f, low_f, high_f;
} ll_capacitance;
ll_status ll_winding_capacitance(const ll_coil_shape *coil, double turns, const ll_wire *wire,
                                 double permittivity_r, ll_capacitance *out);

#endif
