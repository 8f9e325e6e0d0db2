/* circuit_data.h - how the room keeps a circuit. Not for others.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CIRCUIT_CIRCUIT_DATA_H
#define LL_CIRCUIT_CIRCUIT_DATA_H

#include "circuit/circuit.h"

typedef enum ll_branch_kind { LL_RESISTOR, LL_CAPACITOR, LL_COIL } ll_branch_kind;

typedef struct ll_branch {
    ll_branch_kind kind;
    size_t cold, hot;
    double value;      /* ohm, farad, or a coil's share of the turns */
    ll_coil_row *rows; /* of a coil, owned */
    size_t count;
} ll_branch;

struct ll_circuit {
    size_t nodes; /* beside ground */
    size_t branches;
    ll_branch branch[LL_CIRCUIT_BRANCHES];
    double coupling[LL_CIRCUIT_BRANCHES][LL_CIRCUIT_BRANCHES];
};

#endif
