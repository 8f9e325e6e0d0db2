/* circuit.c - what a network is made of. The solution is in solve.c.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/gsl.h"
#include "circuit/circuit_data.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

ll_status ll_circuit_new(ll_circuit **out)
{
    ll_circuit *circuit = calloc(1, sizeof *circuit);
    if (!circuit)
        return LL_NO_MEMORY;
    *out = circuit;
    return LL_OK;
}

void ll_circuit_free(ll_circuit *circuit)
{
    for (size_t i = 0; circuit && i < circuit->branches; i++)
        free(circuit->branch[i].rows);
    free(circuit);
}

size_t ll_circuit_branches(const ll_circuit *circuit)
{
    return circuit->branches;
}

static ll_status check(const ll_circuit *circuit, size_t cold, size_t hot, double value)
{
    const int fits = cold <= LL_CIRCUIT_NODES && hot <= LL_CIRCUIT_NODES &&
                     circuit->branches < LL_CIRCUIT_BRANCHES;
    return fits && value >= 0 && isfinite(value) ? LL_OK : LL_BAD_VALUE;
}

static void append(ll_circuit *circuit, const ll_branch *branch)
{
    circuit->branch[circuit->branches++] = *branch;
    const size_t highest = branch->hot > branch->cold ? branch->hot : branch->cold;
    if (highest > circuit->nodes)
        circuit->nodes = highest;
}

ll_status ll_circuit_add_resistor(ll_circuit *circuit, size_t cold, size_t hot, double r_ohm)
{
    const ll_status status = check(circuit, cold, hot, r_ohm);
    if (status == LL_OK)
        append(circuit,
               &(ll_branch){.kind = LL_RESISTOR, .cold = cold, .hot = hot, .value = r_ohm});
    return status;
}

ll_status ll_circuit_add_capacitor(ll_circuit *circuit, size_t cold, size_t hot, double c_f)
{
    const ll_status status = check(circuit, cold, hot, c_f);
    if (status == LL_OK)
        append(circuit, &(ll_branch){.kind = LL_CAPACITOR, .cold = cold, .hot = hot, .value = c_f});
    return status;
}

static ll_status check_rows(size_t count, const ll_coil_row *rows)
{
    for (size_t i = 0; i < count; i++) {
        if (!(rows[i].f_hz >= 0 && rows[i].r_ohm >= 0 && rows[i].l_h >= 0) ||
            !isfinite(rows[i].f_hz + rows[i].r_ohm + rows[i].l_h))
            return LL_BAD_VALUE;
        if (i > 0 && !(rows[i].f_hz > rows[i - 1].f_hz && rows[i - 1].f_hz > 0))
            return LL_BAD_CURVE;
    }
    return count > 0 ? LL_OK : LL_BAD_CURVE;
}

ll_status ll_circuit_add_coil(ll_circuit *circuit, size_t cold, size_t hot, size_t count,
                              const ll_coil_row *rows, double share, size_t *branch)
{
    ll_status status = check(circuit, cold, hot, share);
    if (status == LL_OK && share > 1)
        status = LL_BAD_VALUE;
    if (status == LL_OK)
        status = check_rows(count, rows);
    if (status)
        return status;
    ll_coil_row *copy = malloc(count * sizeof *copy);
    if (!copy)
        return LL_NO_MEMORY;
    memcpy(copy, rows, count * sizeof *copy);
    if (branch)
        *branch = circuit->branches;
    append(circuit, &(ll_branch){.kind = LL_COIL, .cold = cold, .hot = hot, .value = share});
    ll_branch *added = &circuit->branch[circuit->branches - 1];
    added->rows = copy;
    added->count = count;
    return LL_OK;
}

ll_status ll_circuit_couple(ll_circuit *circuit, size_t branch_a, size_t branch_b,
                            double coefficient)
{
    if (branch_a >= circuit->branches || branch_b >= circuit->branches || branch_a == branch_b ||
        circuit->branch[branch_a].kind != LL_COIL || circuit->branch[branch_b].kind != LL_COIL)
        return LL_NO_COIL;
    if (!(fabs(coefficient) <= 1))
        return LL_BAD_VALUE;
    circuit->coupling[branch_a][branch_b] = coefficient;
    circuit->coupling[branch_b][branch_a] = coefficient;
    return LL_OK;
}
