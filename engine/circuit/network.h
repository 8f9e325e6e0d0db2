/* network.h - coils with the controls, the cable and the input they play into.
 *
 * SI units. What is zero is absent: a pot of 0 ohm, a capacitor of 0 farad, an input of 0 ohm.
 *
 *     coils --+-- volume pot --+-- cable, input --> output       tone: pot as a rheostat and capacitor to ground,
 *             |                |                                 before the volume pot or at its wiper
 *           tone            (tone)                               treble bleed: from the volume pot's hot end to the wiper
 *
 * Coils may stand in groups, each in series or parallel within itself and with controls of its own, such as the two coils of a
 * pickup behind the pickup's own pots. Groups stand in groups; group 0 is the whole.
 *
 * Errors: a call that fails returns its status and leaves its outputs untouched. A network never changes and may be
 * read from several threads.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CIRCUIT_NETWORK_H
#define LL_CIRCUIT_NETWORK_H

#include "base/api.h"
#include "circuit/circuit.h"
#include <stdbool.h>

LL_API_BEGIN

enum { LL_NETWORK_COILS = 8, LL_NETWORK_GROUPS = 8 };

/* A coil between its two leads. */
typedef struct ll_network_coil {
    size_t row_count;
    const ll_coil_row *rows; /* as in ll_circuit_add_coil */
    double c_f;              /* own capacitance, across the whole winding */
    bool reversed;           /* its leads swapped */
    double tap; /* share of the turns in use, from the cold lead on; the rest hangs open; 1: all */
    double
        shorted_s; /* turns closed within it: their L / R; 0: none. Its rows hold what they do to the impedance */
    double shorted_share; /* of its EMF, that of the turns around them */
    size_t group;         /* that it stands in: 0 the whole, else the number of a group, from 1 */
    bool
        bypassed; /* its leads are joined to each other and to ground, as a split does; those of its group go on without it */
} ll_network_coil;

/* What turns closed within a coil, coupled to the rest turn by turn, leave of its EMF: their current takes 1 / (1 + j w shorted_s)
 * of what the turns around them would give, as any shorted secondary of that time constant does. */
void ll_network_emf_left(const ll_network_coil *coil, double f_hz, ll_complex *left);

typedef enum ll_wiring { LL_SERIES, LL_PARALLEL } ll_wiring;

/* How resistance follows rotation. The audio law is exponential with a tenth of the resistance at half rotation
 * (common practice, no source: makers sell 10 to 20 %). */
typedef enum ll_taper { LL_AUDIO_TAPER, LL_LINEAR_TAPER } ll_taper;

typedef struct ll_pot {
    double r_ohm;
    double turn; /* rotation, 0 to 1: full up */
    ll_taper taper;
} ll_pot;

/* What a signal passes on its way from coils to the next switch, or to the cable. */
typedef struct ll_controls {
    ll_pot volume, tone;
    double tone_cap_f; /* without a tone pot straight across */
    bool tone_at_wiper;
    double bleed_f, bleed_ohm; /* resistor across the capacitor, or in series with it */
    bool bleed_in_series;
} ll_controls;

/* One or more coils or groups that are joined. */
typedef struct ll_network_group {
    size_t
        within; /* the group that it stands in: 0 the whole, else one before it, counted from 1 */
    ll_wiring wiring;
    double coupling; /* coefficient between any two coils that stand in it, as they are wound */
    ll_controls controls;
} ll_network_group;

typedef struct ll_network_spec {
    size_t coil_count; /* 1 to LL_NETWORK_COILS */
    const ll_network_coil *coils;
    ll_wiring wiring;
    double
        coupling; /* between any two coils of group 0, at least -1 / (coils - 1), as in all groups */
    ll_pot volume, tone;
    double tone_cap_f; /* without a tone pot straight to ground */
    bool tone_at_wiper;
    double bleed_f, bleed_ohm; /* resistor across the capacitor, or in series with it */
    bool bleed_in_series;
    double cable_f;
    double input_ohm, input_f;
    size_t group_count; /* to LL_NETWORK_GROUPS, beside group 0 */
    const ll_network_group *groups;
} ll_network_spec;

typedef struct ll_network ll_network;

/* Share of a pot's resistance between its cold end and the wiper. */
double ll_pot_share(const ll_pot *pot);

/* The caller owns *out and frees it with ll_network_free; the spec is not kept. LL_BAD_VALUE for values out of range. */
ll_status ll_network_new(const ll_network_spec *spec, ll_network **out);
void ll_network_free(ll_network *network);

/* transfer[coil_count]: output voltage for an EMF of 1 V in each coil alone, its reversal and tap included. */
ll_status ll_network_transfer(const ll_network *network, double f_hz, ll_complex *transfer);
/* Output voltage with an EMF of 1 V in every coil. */
ll_status ll_network_response(const ll_network *network, double f_hz, ll_complex *out);
/* With emf_v[coil_count] instead; NULL: 1 V in every coil. */
ll_status ll_network_response_to(const ll_network *network, const double *emf_v, double f_hz,
                                 ll_complex *out);
size_t ll_network_coils(const ll_network *network);

/* The low frequency that levels are compared with, and the band in which a peak is looked for. */
#define LL_LOW_HZ 1.0
#define LL_PEAK_FROM_HZ 10.0
#define LL_PEAK_TO_HZ 1e6

/* Below this gain, 200 dB under the EMF, nothing but rounding comes out. */
#define LL_SILENT 1e-10

/* Figures that do not exist are NaN: f_hz, gain and q where there is no peak, q also where it does not rise, the
 * others where nothing comes out at low frequency. */
typedef struct ll_peak {
    double f_hz;     /* of the highest interior maximum */
    double gain;     /* there, output over EMF */
    double low_gain; /* at LL_LOW_HZ; 0 when silent */
    double q; /* of the second-order low-pass with the same rise; without load sqrt(L / C) / R */
    double
        f_minus3_hz; /* above it the output stays more than 3 dB (half power) under the low frequencies */
} ll_peak;

ll_status ll_network_peak(const ll_network *network, ll_peak *out);
/* With emf_v[coil_count] instead of 1 V in every coil; NULL: as above. */
ll_status ll_network_peak_to(const ll_network *network, const double *emf_v, ll_peak *out);

/* What an ohm meter shows at the output with the amplifier away, by the thermal noise of that resistance at LL_LOW_HZ (H. Nyquist):
 * within a thousandth up to 1 Mohm and 10 nF. INFINITY where nothing leads on. */
ll_status ll_network_resistance(const ll_network *network, double *r_ohm);

/* Thermal noise at the output: density in V^2/Hz, and rms over a band, 0 < from < to. */
ll_status ll_network_noise_density(const ll_network *network, double f_hz, double *v2_per_hz);
ll_status ll_network_noise(const ll_network *network, double from_hz, double to_hz, double *rms_v);

LL_API_END

#endif
