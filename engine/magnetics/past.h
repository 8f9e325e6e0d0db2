/* past.h - magnets that take and lose charge: what each place of a magnet went through, from one scene to the next.
 *
 * A magnet begins virgin or full. ll_solve with `past` in its options solves a scene in which the magnets that have one follow
 * their hysteresis (material/hysteresis.h) from there; ll_solution_past hands what they have gone through since to the
 * next: in the charger, in the air beside it, knocked back by a coil, in a pickup. The field at each place is taken to go straight from
 * one scene to the next; where it does not, put a scene between. Slow: currents in metal are left out.
 * SI units. Immutable; any thread may read one. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_PAST_H
#define LL_MAGNETICS_PAST_H

#include "base/api.h"
#include "base/status.h"
#include <stddef.h>

LL_API_BEGIN

typedef struct ll_past ll_past;
struct ll_solution;

/* A magnet that was never charged, or lost its charge to heat or to an alternating field; and one that was charged to the full along its
 * north. coercivity_a_m is wanted for a straight law alone: ferrite, NdFeB. LL_BAD_VALUE, LL_NO_MEMORY. The caller frees *out. */
ll_status ll_past_virgin(double coercivity_a_m, ll_past **out);
ll_status ll_past_full(double coercivity_a_m, ll_past **out);
void ll_past_free(ll_past *past);

/* What a part of a solved scene has gone through; LL_NO_PART when it was solved without a past. The caller frees *out. */
ll_status ll_solution_past(const struct ll_solution *s, size_t part, ll_past **out);

/* Means over a magnet's volume along its north. */
typedef struct ll_magnetised {
    double h_a_m;               /* field inside it */
    double least_a_m, most_a_m; /* at the place where it is least, and most */
    double j_t;                 /* polarisation there */
    double charge;              /* what is left of full charge when the field is gone, 1 to -1 */
    double coercivity_a_m;      /* the field that takes all remanence from a full one */
} ll_magnetised;
/* LL_NO_PART when it was solved without a past. */
ll_status ll_solution_magnetised(const struct ll_solution *s, size_t part, ll_magnetised *out);

LL_API_END

#endif
