/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/offer.h"
#include "module/base/chunks.h"
#include "module/base/fields.h"
#include <lauxlib.h>

/* A text in the table on the top. */
static void set(lua_State *L, const char *key, const char *text)
{
    lua_pushstring(L, text);
    lua_setfield(L, -2, key);
}

/* Pushes a list of records {column, unit, error, meaning}. */
static void push_columns(lua_State *L, const bind_reading *reading)
{
    char name[BIND_COLUMN_ROOM];
    lua_newtable(L);
    for (size_t i = 0; i < reading->column_count; i++) {
        const bind_column *column = &reading->columns[i];
        bind_column_name(column, 0, name);
        lua_newtable(L);
        set(L, "column", name);
        set(L, "unit", column->text ? "text" : bind_unit_text(column->unit));
        set(L, "error", bind_error_kind_text(column->error));
        set(L, "meaning", column->meaning);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
}

/* "poles{...}", as a list of words has it. */
static const char *push_call(lua_State *L, const bind_reading *reading)
{
    const char *call = reading->call                  ? reading->call
                       : reading->options.field_count ? "{...}"
                                                      : "()";
    return lua_pushfstring(L, "%s%s", reading->name, call);
}

void bind_offer_reading(lua_State *L, const bind_reading *reading)
{
    const int top = lua_gettop(L);
    bind_push_core(L);
    luaL_getsubtable(L, -1, "readings");
    lua_newtable(L);
    const int record = lua_gettop(L);
    const char *call = push_call(L, reading);
    lua_insert(L, record);
    set(L, "of", reading->of->name);
    set(L, "name", reading->name);
    set(L, "call", call);
    set(L, "gives", reading->column_count ? "table" : "nothing");
    set(L, "meaning", reading->meaning);
    push_columns(L, reading);
    lua_setfield(L, -2, "columns");
    lua_rawseti(L, record - 1, (lua_Integer)lua_rawlen(L, record - 1) + 1);
    if (reading->options.field_count)
        bind_offer_fields(L, &reading->options);
    lua_settop(L, top);
}
