/* plot.h - the drawing of a table's curves.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_PLOT_H
#define LL_BIND_PLOT_H

#include <lua.h>

/* Gives the module's Lua chunks core.draw_plot. */
void bind_open_plot(lua_State *L);

#endif
