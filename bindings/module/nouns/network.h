/* network.h - the readings of a network.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_NETWORK_H
#define LL_BIND_NETWORK_H

#include "module/nouns/nouns.h"

extern const luaL_Reg bind_network_readings[];
void bind_offer_network_readings(lua_State *L);

#endif
