/* steel_sheets.h - sheets of steel that touch other steel, in which the engine leaves the currents around in the sheet out.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_STEEL_SHEETS_H
#define LL_BIND_STEEL_SHEETS_H

#include "module/nouns/pickup.h"

/* Pushes what is to be said of the first sheet of steel that touches other steel; false, and nothing pushed, when none does. */
bool bind_push_joined_sheet(lua_State *L, const bind_pickup *pickup);

#endif
