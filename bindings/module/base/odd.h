/* odd.h - remarks on what is odd in a description but may be meant. They are told once at the script's line, and stand under every
 * table that rests on the description.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_ODD_H
#define LL_BIND_ODD_H

#include <lua.h>

/* Notes "place: text", the text on the top, with the private copy of a description at `copy`, and pops it. The same text of another
 * place is not told again, and a line of the script speaks once about each thing. What the module itself describes in its work is
 * not remarked. */
void bind_odd(lua_State *L, int copy, const char *place, const char *about);

/* Notes what was assumed, for want of a word in the script, with the description at `copy`: it stands under tables alone. */
void bind_assumed(lua_State *L, int copy, const char *text);

/* Hands the remarks of the object at `index`, or of the copy of a description there, on to the copy at `copy`. */
void bind_odd_inherit(lua_State *L, int copy, int index);

/* Pushes the remarks of the object or copy at `index` as a list of texts, "odd: ..." or "assumed: ...". */
void bind_push_odd(lua_State *L, int index);

/* Adds core.odd(object or copy): its remarks as a list, as they stand under tables. */
void bind_open_odd(lua_State *L);

#endif
