/* position.h - one position of an instrument's switch: how loud each string is, its resonance, what is left of hum, and whether the
 * coils in it help or oppose each other.
 *
 * What each coil hears is handed in, with its sign and as it lies along the string; a network says what each counts at the output,
 * T_c(f). A string's partials are then added up coil by coil, so that combs and phases are in the sum:
 *   level^2 = sum over partials n of | sum_c T_c(f_n) partial_cn |^2,   hum^2 = sum over directions d of | sum_c T_c(f_hum) hum_cd |^2.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CIRCUIT_POSITION_H
#define LL_CIRCUIT_POSITION_H

#include "base/api.h"
#include "circuit/network.h"
#include "circuit/together.h"

LL_API_BEGIN

enum { LL_POSITION_HUM = 3 };

/* What one coil gives without load. Where it stands for a pickup of several windings, these are told apart, for nothing of them is left
 * in a sum that cancels. */
typedef struct ll_position_coil {
    const double
        *partial_v;        /* [all partials] effective voltage with its sign, string after string */
    const double *slope_v; /* [strings] for a string that moves up by 1 m/s as a whole */
    double hum_v[LL_POSITION_HUM];
    double
        winding_hum_v; /* size of that of the winding which takes up most; of one winding not looked at */
    size_t windings;         /* more than one: */
    const double *winding_v; /* [windings][strings] slope_v of each as it counts in the whole */
} ll_position_coil;

typedef struct ll_position_heard {
    size_t strings;
    const size_t *partials; /* [strings] how many each has */
    const double *f_hz;     /* [all partials] */
    const ll_position_coil *coils;
    double hum_hz;
} ll_position_heard;

typedef struct ll_position {
    double level_v;        /* root of the mean of the strings' squares */
    double resistance_ohm; /* see ll_network_resistance */
    /* Of the circuit with every coil adding at low frequency, each by the strings it hears: what phases do is in level_v, and two coils
     * that cancel have a resonance all the same. */
    ll_peak peak;
    double hum_v;
    double
        hum_left; /* over what the one winding alone gives that gives most: 1 for a single one, 2 for two that add */
    size_t together; /* strings that two windings or more hear */
    ll_phase phase;  /* of these */
} ll_position;

/* string_v[strings]: level of each. LL_BAD_VALUE for a frequency that is not greater than zero; statuses of the network. */
ll_status ll_position_read(const ll_network *network, const ll_position_heard *heard,
                           double *string_v, ll_position *out);

LL_API_END

#endif
