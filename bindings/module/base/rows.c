/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/rows.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/odd.h"
#include "module/base/settings.h"
#include <lauxlib.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

bind_result bind_result_begin(lua_State *L, const bind_reading *reading)
{
    const int top = lua_gettop(L);
    luaL_checkstack(L, 20, "too deeply nested");
    for (int i = 0; i < 3; i++)
        lua_newtable(L);
    return (bind_result){.L = L,
                         .reading = reading,
                         .rows = top + 1,
                         .notes = top + 2,
                         .remarks = top + 3,
                         .error = bind_no_mesh_error};
}

void bind_result_rests_on(const bind_result *t, int index)
{
    bind_odd_inherit(t->L, t->remarks, index);
}

void bind_row_begin(bind_result *t)
{
    lua_newtable(t->L);
    t->row = lua_gettop(t->L);
}

/* True for the name of the column, or of one of those that it stands for. */
static bool is_called(const bind_result *t, const bind_column *column, const char *name)
{
    char own[BIND_COLUMN_ROOM];
    const size_t last = column->many ? t->many : 0;
    for (size_t number = column->many; number <= last; number++) {
        bind_column_name(column, number, own);
        if (strcmp(own, name) == 0)
            return true;
    }
    return false;
}

/* Every column is declared, so that its unit and meaning are known wherever the table goes. */
static const bind_column *declared(const bind_result *t, const char *name, bool text)
{
    for (size_t i = 0; i < t->reading->column_count; i++)
        if (is_called(t, &t->reading->columns[i], name) && t->reading->columns[i].text == text)
            return &t->reading->columns[i];
    bind_raise(t->L, "%s: its %s column '%s' is not declared; please report this script",
               t->reading->name, text ? "text" : "number", name);
    return NULL;
}

void bind_set(const bind_result *t, const char *column, double si)
{
    lua_State *L = t->L;
    if (!isfinite(si) && bind_check_of(L)->on)
        si = 1; /* follows from mistakes that were noted */
    if (!isfinite(si))
        bind_raise(L, "the value of %s is not a finite number; please report this script", column);
    lua_pushnumber(L, bind_from_si(declared(t, column, false)->unit, si));
    lua_setfield(L, t->row, column);
}

void bind_set_text(const bind_result *t, const char *column, const char *text)
{
    declared(t, column, true);
    lua_pushstring(t->L, text);
    lua_setfield(t->L, t->row, column);
}

void bind_row_end(const bind_result *t)
{
    lua_settop(t->L, t->row);
    lua_rawseti(t->L, t->rows, (lua_Integer)lua_rawlen(t->L, t->rows) + 1);
}

/* The text on the top becomes the next of the list at `list`. */
static void append(lua_State *L, int list)
{
    lua_rawseti(L, list, (lua_Integer)lua_rawlen(L, list) + 1);
}

void bind_note(const bind_result *t, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    lua_pushvfstring(t->L, format, arguments);
    va_end(arguments);
    append(t->L, t->notes);
}

/* Pushes how far the mesh may be off; a warning where it is more than was asked for. */
static void push_mesh_note(lua_State *L, const bind_mesh_error *e)
{
    char percent[32];
    snprintf(percent, sizeof percent, "%.2g", fmax(100 * e->error, 0.01));
    if (e->missed)
        lua_pushfstring(L,
                        "WARNING: the mesh error may be %s %% of %s, more than was "
                        "asked for; give the pickup a wider accuracy or more memory",
                        percent, e->measure);
    else
        lua_pushfstring(L, "mesh error: at most about %s %% of %s", percent, e->measure);
}

/* Pushes what the table rests on and carries along: {error, missed, of, widest, mesh, remarks}. */
static void push_origin(const bind_result *t)
{
    lua_State *L = t->L;
    lua_newtable(L);
    if (t->error.error >= 0) {
        lua_pushnumber(L, t->error.error);
        lua_setfield(L, -2, "error");
        lua_pushboolean(L, t->error.missed);
        lua_setfield(L, -2, "missed");
        lua_pushstring(L, t->error.measure);
        lua_setfield(L, -2, "of");
        lua_pushnumber(L, t->error.widest);
        lua_setfield(L, -2, "widest");
        push_mesh_note(L, &t->error);
        lua_setfield(L, -2, "mesh");
    }
    bind_push_odd(L, t->remarks);
    lua_setfield(L, -2, "remarks");
}

/* Pushes the list of the columns' names. */
static void push_columns(const bind_result *t)
{
    char name[BIND_COLUMN_ROOM];
    lua_newtable(t->L);
    const int list = lua_gettop(t->L);
    for (size_t i = 0; i < t->reading->column_count; i++) {
        const bind_column *column = &t->reading->columns[i];
        for (size_t number = column->many; number <= (column->many ? t->many : 0); number++) {
            bind_column_name(column, number, name);
            lua_pushstring(t->L, name);
            append(t->L, list);
        }
    }
}

int bind_result_end(const bind_result *t)
{
    lua_State *L = t->L;
    const bind_reading *reading = t->reading;
    bind_push_core(L);
    lua_getfield(L, -1, "result");
    lua_pushstring(L, reading->title ? reading->title : reading->name);
    push_columns(t);
    lua_pushvalue(L, t->rows);
    lua_pushvalue(L, t->notes);
    push_origin(t);
    lua_pushfstring(L, "%s.%s", reading->of->name, reading->name);
    lua_call(L, 6, 1);
    return 1;
}
