/* fault.h - how the module says that a script is wrong: place first, then the fault, then the cure.
 *
 * Every message starts with the script's own file and line, whichever layer found the fault. While a script is
 * only checked, mistakes are collected and the script goes on.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_FAULT_H
#define LL_BIND_FAULT_H

#include "base/status.h"
#include <lua.h>
#include <stdbool.h>

/* Chunks that belong to the module carry this at the start of their name; positions skip them. */
#define BIND_OWN_CHUNK "=lodeloom:"

/* True for a line that its author can mend: neither C nor one of the module's own chunks. `at` has been filled with "Sl". */
bool bind_is_script_line(const lua_Debug *at);

/* Pushes "script.lua:12: " for the innermost line of the script, or "" when there is none. */
void bind_where(lua_State *L);

/* What a message on the top says behind the place in one of the module's own chunks, or NULL when it has none. */
const char *bind_behind_own_place(lua_State *L);

/* A message handler: an error that Lua's library raised inside one of the module's own chunks is given the place of the
 * script's line that led there. */
int bind_placed(lua_State *L);

/* Raises; the format is that of lua_pushfstring. Never returns. */
int bind_raise(lua_State *L, const char *format, ...);

/* Raises, or notes the mistake and returns while a script is checked. */
void bind_mistake(lua_State *L, const char *format, ...);

/* Adds the text on the top to the mistakes of a check, once, and pops it: a line inside a loop speaks once. */
void bind_note_mistake(lua_State *L);

/* Says what is odd but may be meant, on standard error; a line of the script speaks once about each thing, however often it is run. */
void bind_remark_once(lua_State *L, const char *about, const char *format, ...);

/* Nothing for LL_OK; else raises the status's text after `place` ("pickup 'neck'"). */
void bind_demand(lua_State *L, ll_status status, const char *place);

/* Pushes the list of mistakes noted so far. */
void bind_mistakes(lua_State *L);

/* Pushes a copy of a text made fit for messages: quoted, cut to a sensible length. */
const char *bind_quoted(lua_State *L, const char *text);

#endif
