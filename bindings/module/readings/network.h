/* network.h - a network as readings see it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_NETWORK_H
#define LL_BIND_NETWORK_H

#include "module/readings/query.h"

/* The engine's network, built when first asked, its pickups solved; their mesh error goes to every table that asks. NULL for a wrong one, in a check; else raises. */
const ll_network *bind_ask_network(const bind_query *r, bind_network *network);

#endif
