/* host_api.h - the functions of the program that sandbox.lua builds on.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_API_H
#define LL_HOST_API_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

/* Pushes the table of functions. */
void host_api_push(lua_State *L);

/* `require` looks beside this script first. */
void host_api_set_folder(lua_State *L, const char *script_path);

/* True for formats in which nothing but tables may stand on standard output. */
bool host_is_for_machines(const char *format);

/* Sets given[name] to the text, or to the number that it spells; false when the name has a value already. */
bool host_api_give(lua_State *L, const char *name, size_t length, const char *text);

/* Says on standard error which of the given values the script never looked at. */
void host_api_report_unused(lua_State *L);

#endif
