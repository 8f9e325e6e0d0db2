/* stamp.h - the line by which two benches see whether they ran the same thing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_STAMP_H
#define LL_HOST_STAMP_H

#include "options.h"
#include <lua.h>

/* Prints the version, the script's name and hash, all that it required included, and the values it was given. */
void host_print_stamp(lua_State *L, const host_options *options);

#endif
