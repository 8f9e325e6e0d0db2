/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/object.h"
#include "module/base/check_mode.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/nearest.h"
#include "module/base/values.h"
#include <string.h>

/* Upvalues of a metatable's functions. */
enum { UP_NOUN = 1, UP_METHODS };

/* Each metatable's functions know their noun. */
static const bind_noun *noun_of(lua_State *L)
{
    return lua_touserdata(L, lua_upvalueindex(UP_NOUN));
}

void bind_push_given(lua_State *L, int index)
{
    lua_getiuservalue(L, index, 1);
    int given = lua_gettop(L);
    lua_newtable(L);
    for (lua_pushnil(L); lua_type(L, given) == LUA_TTABLE && lua_next(L, given); lua_pop(L, 1))
        if (lua_type(L, -2) == LUA_TSTRING) {
            lua_pushvalue(L, -2);
            bind_copy(L, -2);
            lua_rawset(L, -5);
        }
    lua_remove(L, given);
}

/* Pushes the call that was meant where another noun has that word, or nil. */
static const char *push_elsewhere(lua_State *L, const bind_noun *noun, const char *key)
{
    bind_push_core(L);
    lua_getfield(L, -1, "elsewhere");
    lua_remove(L, -2);
    lua_pushstring(L, key);
    lua_pushstring(L, noun->name);
    lua_call(L, 2, 1);
    return lua_tostring(L, -1);
}

/* Reading a name that is not there is a slip, not a nil. */
static int refuse_key(lua_State *L, const bind_noun *noun, const char *key)
{
    const char *elsewhere = push_elsewhere(L, noun, key);
    bind_nearest nearest = {.wanted = key};
    for (size_t i = 0; i < noun->field_count; i++)
        bind_nearest_try(&nearest, noun->fields[i].name);
    for (lua_pushnil(L); lua_next(L, lua_upvalueindex(UP_METHODS)); lua_pop(L, 1))
        bind_nearest_try(&nearest, lua_tostring(L, -2)); /* as likely misspelt as a field */
    const char *quoted = bind_quoted(L, key);
    if (elsewhere)
        return bind_raise(L, "%s has no %s; did you mean %s?", noun->article, quoted, elsewhere);
    if (nearest.name)
        return bind_raise(L, "%s has no %s; did you mean '%s'?", noun->article, quoted,
                          nearest.name);
    return bind_raise(L, "%s has no %s", noun->article, quoted);
}

/* Fields that were left out read as nil. */
static bool is_field(const bind_noun *noun, const char *key)
{
    for (size_t i = 0; i < noun->field_count; i++)
        if (strcmp(noun->fields[i].name, key) == 0)
            return true;
    return false;
}

/* object.key: a method, or a copy of the value that was given. */
static int object_index(lua_State *L)
{
    const bind_noun *noun = noun_of(L);
    if (lua_type(L, 2) != LUA_TSTRING)
        return bind_raise(L, "%s has no fields of that kind", noun->article);
    lua_pushvalue(L, 2);
    if (lua_rawget(L, lua_upvalueindex(UP_METHODS)) != LUA_TNIL)
        return 1;
    const char *key = lua_tostring(L, 2);
    if (!is_field(noun, key))
        return refuse_key(L, noun, key);
    if (lua_getiuservalue(L, 1, 1) != LUA_TTABLE)
        return 0;
    lua_getfield(L, -1, key);
    bind_copy(L, -1);
    return 1;
}

/* Parts stand in several pickups at once; changing one under them would be a trap. */
static int object_newindex(lua_State *L)
{
    const bind_noun *noun = noun_of(L);
    return bind_raise(L, "%s never changes once it is made; take a changed copy with :with{...}",
                      noun->article);
}

/* "rod 'core'". */
static int object_tostring(lua_State *L)
{
    const bind_noun *noun = noun_of(L);
    bool named =
        lua_getiuservalue(L, 1, 1) == LUA_TTABLE && lua_getfield(L, -1, "name") == LUA_TSTRING;
    if (named)
        lua_pushfstring(L, "%s '%s'", noun->name, lua_tostring(L, -1));
    else
        lua_pushstring(L, noun->name);
    return 1;
}

/* object:with{ field = value, ... }: a copy with these fields in place of its own. */
static int object_with(lua_State *L)
{
    const bind_noun *noun = noun_of(L);
    bind_self(L, noun, "with");
    if (lua_type(L, 2) != LUA_TTABLE)
        return bind_raise(L, "with: named fields in braces were expected, as in :with{ %s = ... }",
                          noun->fields[0].name);
    lua_pushcfunction(L, noun->make);
    bind_push_given(L, 1);
    for (lua_pushnil(L); lua_next(L, 2); lua_pop(L, 1)) {
        lua_pushvalue(L, -2);
        lua_pushvalue(L, -2);
        lua_rawset(L, -5);
    }
    lua_call(L, 1, 1);
    return 1;
}

/* A function of the metatable below the methods, with the noun and the methods as upvalues. */
static void set_function(lua_State *L, const bind_noun *noun, const char *name,
                         lua_CFunction function)
{
    int methods = lua_gettop(L);
    lua_pushlightuserdata(L, (void *)noun);
    lua_pushvalue(L, methods);
    lua_pushcclosure(L, function, 2);
    bind_guard(L);
    lua_setfield(L, methods - 1, name);
}

/* Those of the noun, and `with` for all that can be made anew. */
static void push_methods(lua_State *L, const bind_noun *noun, const luaL_Reg *methods)
{
    lua_newtable(L);
    luaL_setfuncs(L, methods, 0);
    if (noun->make) {
        lua_pushlightuserdata(L, (void *)noun);
        lua_pushcclosure(L, object_with, 1);
        lua_setfield(L, -2, "with");
    }
    bind_guard_all(L);
}

/* Makes the methods on the top known to help and completion. */
static void offer_methods(lua_State *L, const bind_noun *noun)
{
    bind_push_core(L);
    luaL_getsubtable(L, -1, "methods");
    lua_pushvalue(L, -3);
    lua_setfield(L, -2, noun->name);
    lua_pop(L, 2);
}

void bind_object_register(lua_State *L, const bind_noun *noun, const luaL_Reg *methods,
                          lua_CFunction clear)
{
    luaL_newmetatable(L, noun->type);
    push_methods(L, noun, methods);
    offer_methods(L, noun);
    set_function(L, noun, "__index", object_index);
    set_function(L, noun, "__newindex", object_newindex);
    set_function(L, noun, "__tostring", object_tostring);
    lua_pop(L, 1);
    if (clear) {
        lua_pushcfunction(L, clear);
        lua_setfield(L, -2, "__gc");
        lua_pushcfunction(L, clear);
        lua_setfield(L, -2, "__close");
    }
    lua_pushstring(L, noun->name);
    lua_setfield(L, -2, "__metatable"); /* getmetatable tells the kind and gives nothing away */
    lua_pop(L, 1);
}

void *bind_object_new(lua_State *L, const bind_noun *noun)
{
    void *object = lua_newuserdatauv(L, noun->size, 1);
    memset(object, 0, noun->size);
    if (noun->defaults)
        memcpy(object, noun->defaults, noun->size);
    luaL_setmetatable(L, noun->type);
    return object;
}

void *bind_object_make(lua_State *L, const bind_noun *noun, const char *place)
{
    bind_object *object = bind_object_new(L, noun);
    int box = lua_gettop(L);
    bind_copy(L, 1);
    object->wrong = !bind_parse(L, -1, noun, place, object);
    lua_setiuservalue(L, box, 1);
    lua_settop(L, box);
    return object;
}

void *bind_self(lua_State *L, const bind_noun *noun, const char *method)
{
    void *object = bind_test(L, 1, noun);
    if (!object)
        bind_raise(L, "%s: call it on %s with a colon, as in %s:%s(...)", method, noun->article,
                   noun->name, method);
    return object;
}

const char *bind_place_of(lua_State *L, const bind_noun *noun)
{
    if (lua_type(L, 1) == LUA_TTABLE && lua_getfield(L, 1, "name") == LUA_TSTRING)
        return lua_pushfstring(L, "%s %s", noun->name, bind_quoted(L, lua_tostring(L, -1)));
    return lua_pushstring(L, noun->name);
}
