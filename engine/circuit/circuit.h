/* circuit.h - a small linear network over frequency: resistors, capacitors, and coils that may be coupled.
 *
 * SI units, phasors with exp(+j w t). Node 0 is ground; the others count from 1 without gaps. Every branch runs from
 * its cold to its hot node; a source in it drives the hot node up. Resistors and coils may be zero ohm: a short is
 * exact. What is open is simply not added.
 *
 * Equations: modified nodal analysis with the current of every branch as an unknown (C.-W. Ho, A. Ruehli, P. Brennan,
 * IEEE Trans. Circuits Syst. 22 (1975) 504). The transposed system gives the output's answer to a source in every branch
 * at once (S. Director, R. Rohrer, IEEE Trans. Circuit Theory 16 (1969) 318), hence signal and noise from one solution.
 *
 * Errors: a call that fails returns its status and leaves its outputs untouched. A circuit that is no longer changed
 * may be read from several threads.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CIRCUIT_CIRCUIT_H
#define LL_CIRCUIT_CIRCUIT_H

#include "base/api.h"
#include "base/complex_number.h"
#include "base/status.h"
#include <stddef.h>

LL_API_BEGIN

/* Temperature of the resistances for their noise: a room, in kelvin. */
#define LL_ROOM_K 293.0

/* Nodes beside ground, and branches, that one circuit can have. */
enum { LL_CIRCUIT_NODES = 64, LL_CIRCUIT_BRANCHES = 96 };

typedef struct ll_circuit ll_circuit;

/* What a coil's winding measures at one frequency, without its own capacitance. */
typedef struct ll_coil_row {
    double f_hz, r_ohm, l_h;
} ll_coil_row;

/* The caller owns *out and frees it with ll_circuit_free. */
ll_status ll_circuit_new(ll_circuit **out);
void ll_circuit_free(ll_circuit *circuit);

/* Each adds one branch between two nodes. LL_BAD_VALUE for a negative or not finite value or a node or branch beyond
 * the limits. */
ll_status ll_circuit_add_resistor(ll_circuit *circuit, size_t cold, size_t hot, double r_ohm);
ll_status ll_circuit_add_capacitor(ll_circuit *circuit, size_t cold, size_t hot, double c_f);

/* A winding, or the part of one that holds `share` of its turns (0 to 1): its resistance falls with the share, its
 * inductance with the square. rows[count], rising in f_hz, are copied; between them r and l follow the logarithm of
 * the frequency, beyond them the last row holds; one row is a constant coil. *branch, unless NULL, gets the
 * branch's number. */
ll_status ll_circuit_add_coil(ll_circuit *circuit, size_t cold, size_t hot, size_t count,
                              const ll_coil_row *rows, double share, size_t *branch);

/* Two coils with M = coefficient * sqrt(L1 L2), -1 to 1, positive when current into both hot nodes makes aiding
 * flux. */
ll_status ll_circuit_couple(ll_circuit *circuit, size_t branch_a, size_t branch_b,
                            double coefficient);

size_t ll_circuit_branches(const ll_circuit *circuit);

/* transfer[branches]: voltage of the node for a source of 1 V in each branch alone. f_hz > 0.
 * LL_NOT_SOLVABLE when a node hangs free or ideal shorts form a loop. */
ll_status ll_circuit_transfer(const ll_circuit *circuit, size_t node, double f_hz,
                              ll_complex *transfer);

/* Thermal noise of all resistances at the node in V^2/Hz, each its own source of 4 k T R at LL_ROOM_K
 * (J. B. Johnson, H. Nyquist, Phys. Rev. 32 (1928) 97 and 110). */
ll_status ll_circuit_noise_density(const ll_circuit *circuit, size_t node, double f_hz,
                                   double *v2_per_hz);

LL_API_END

#endif
