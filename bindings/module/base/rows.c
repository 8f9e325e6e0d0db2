/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/rows.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/mesh_error.h"
#include "module/base/odd.h"
#include "module/base/settings.h"
#include <lauxlib.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

/* On the stack: the list of rows, then the list of notes. */
void bind_result_begin(lua_State *L)
{
    luaL_checkstack(L, 10, "too deeply nested");
    lua_newtable(L);
    lua_newtable(L);
}

void bind_row_begin(lua_State *L)
{
    lua_newtable(L);
}

void bind_set(lua_State *L, const char *column, double si)
{
    if (!isfinite(si) && bind_settings_of(L)->check_mode)
        si = 1; /* follows from mistakes that were noted */
    if (!isfinite(si))
        bind_raise(L, "the value of %s is not a finite number; please report this script", column);
    lua_pushnumber(L, bind_from_si(bind_unit_of_column(column), si));
    lua_setfield(L, -2, column);
}

void bind_set_text(lua_State *L, const char *column, const char *text)
{
    lua_pushstring(L, text);
    lua_setfield(L, -2, column);
}

void bind_row_end(lua_State *L)
{
    lua_rawseti(L, -3, (lua_Integer)lua_rawlen(L, -3) + 1);
}

void bind_note(lua_State *L, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    lua_pushvfstring(L, format, arguments);
    va_end(arguments);
    lua_rawseti(L, -2, (lua_Integer)lua_rawlen(L, -2) + 1);
}

/* How far the mesh may be off, under the table of a reading; a warning where it is more than was asked for. */
static void note_mesh_error(lua_State *L, const bind_mesh_error *e)
{
    char percent[32];
    if (e->error < 0)
        return;
    snprintf(percent, sizeof percent, "%.2g", fmax(100 * e->error, 0.01));
    if (e->error > e->accuracy)
        bind_note(L,
                  "WARNING: the mesh error may be %s %% of %s, more than was "
                  "asked for; give the pickup a wider accuracy or more memory",
                  percent, e->measure);
    else
        bind_note(L, "mesh error: at most about %s %% of %s", percent, e->measure);
}

/* What is odd in the description that the table rests on. */
static void note_odd(lua_State *L)
{
    bind_odd_take(L);
    lua_insert(L, -2); /* below the notes */
    for (lua_Integer i = 2; lua_rawgeti(L, -2, i) == LUA_TSTRING; i += 2) {
        const char *remark = lua_tostring(L, -1); /* the list keeps it */
        lua_pop(L, 1);
        bind_note(L, "%s", remark);
    }
    lua_pop(L, 1);
    lua_remove(L, -2);
}

int bind_result_end(lua_State *L, const char *columns, const char *title)
{
    const bind_mesh_error e = bind_mesh_error_take(L);
    note_mesh_error(L, &e);
    note_odd(L);
    int rows = lua_gettop(L) - 1;
    bind_push_core(L);
    lua_getfield(L, -1, "result");
    lua_pushstring(L, title);
    lua_pushstring(L, columns);
    lua_pushvalue(L, rows);
    lua_pushvalue(L, rows + 1);
    lua_pushnumber(L, fmax(e.error, 0));
    lua_call(L, 5, 1);
    lua_replace(L, rows);
    lua_settop(L, rows);
    return 1;
}
