/* network.h - the readings of a network.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_NETWORK_H
#define LL_BIND_NETWORK_H

#include "module/nouns/nouns.h"

/* The engine's network, built when first asked, its pickups solved. NULL for a wrong one, in a check; else raises. */
const ll_network *bind_ask_network(lua_State *L, bind_network *network, const char *place);

extern const luaL_Reg bind_network_readings[];
void bind_offer_network_readings(lua_State *L);

#endif
