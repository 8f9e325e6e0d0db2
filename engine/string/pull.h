/* pull.h - how hard a pickup's magnets pull at a string, place by place along it, and how the pull changes as it moves.
 *
 * The string's charge q for each length and its magnetisation across, a H, in the bias field H with the steel's answer:
 *   force_u = mu0 q H_u + mu0 A (a / 2) d(H across)^2/du.
 * The first part is the virtual work of a string that carries its magnetisation with it as it slants, so that it holds for a
 * moving shape as well as for the whole. The gradient is the change of force when the whole string moves a little: true
 * for partials whose waves are long against the field of the magnets, some 20 mm. Whatever the string's shape, the steel
 * and the magnets answer at once: no hysteresis, no eddy currents.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_PULL_H
#define LL_STRING_PULL_H

#include "base/api.h"
#include "string/modes.h"
#include "string/string.h"

LL_API_BEGIN

/* The pull on the string at rest, y = 0 being from_bridge_m away from the bridge, as ll_mode_pairs takes it. The caller frees
 * *out with ll_pull_free. LL_BAD_SIZE, LL_STRING_IN_PART, LL_NO_CONVERGENCE, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_pull_new(const ll_solution *s, const ll_string *string, double from_bridge_m,
                      ll_pull **out);
void ll_pull_free(ll_pull *pull);

LL_API_END

#endif
