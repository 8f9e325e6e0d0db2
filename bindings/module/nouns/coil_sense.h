/* coil_sense.h - whether what is said of a coil goes together: turns and wire with the room, measured resistance with the wire,
 * resistance with inductance.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_COIL_SENSE_H
#define LL_BIND_COIL_SENSE_H

#include "module/nouns/nouns.h"

/* What contradicts itself is a mistake and makes the coil wrong, what is odd a remark; the coil's box is at `box`. */
void bind_check_coil_sense(lua_State *L, int box, bind_coil *coil, const char *place);

/* The same of a resistance and an inductance that were both measured, SI; `copy` is the description's. The fields are named for
 * messages. False for a mistake. */
bool bind_check_ohm_per_h(lua_State *L, int copy, const char *place, const char *const fields[2],
                          double ohm, double henry);

#endif
