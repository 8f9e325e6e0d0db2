/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "host_api.h"
#include "limits.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/input.h"
#include "module/base/output.h"
#include "module/base/settings.h"
#include "source.h"
#include <lauxlib.h>
#include <lualib.h>
#include <stdio.h>
#include <string.h>

/* Registry keys: what was given, which of it was read, the script's folder. */
static const char given_key, read_key, folder_key;

/* The metatable itself, whatever it says of itself. */
static int metatable_of(lua_State *L)
{
    if (!lua_getmetatable(L, 1))
        lua_pushnil(L);
    return 1;
}

/* fail(text): raises at the line of the script. */
static int fail(lua_State *L)
{
    return bind_raise(L, "%s", luaL_checkstring(L, 1));
}

/* Asked after every pcall and resume, so that no handler carries on. */
static int raise_if_tripped(lua_State *L)
{
    host_raise_if_tripped(L);
    return 0;
}

/* Lua ran out of its memory inside a pcall. */
static int out_of_memory(lua_State *L)
{
    (void)L;
    host_trip_set(TRIP_MEMORY);
    return 0;
}

/* In a check: whether a reading was answered with a placeholder. */
static int placeholders_used(lua_State *L)
{
    lua_pushboolean(L, bind_check_of(L)->placeholders_used);
    return 1;
}

bool host_is_for_machines(const char *format)
{
    return strcmp(format, "csv") == 0 || strcmp(format, "json") == 0;
}

/* With machine-readable results on standard output, plain text goes beside them. */
static int print(lua_State *L)
{
    size_t size;
    const bind_talk *talk = bind_talk_of(L);
    const bind_check *check = bind_check_of(L);
    const char *text = luaL_checklstring(L, 1, &size);
    const bool aside = talk->print_aside || host_is_for_machines(talk->format);
    if (!check->on && aside)
        bind_write_plain(stderr, text, size);
    else if (!check->on)
        bind_print(L, text, size);
    return 0;
}

/* Adds the name on the top to the list at index 1, unless it is Lua's own. */
static void list_name(lua_State *L)
{
    if (*lua_tostring(L, -1) != '(')
        lua_rawseti(L, 1, (lua_Integer)lua_rawlen(L, 1) + 1);
    else
        lua_pop(L, 1);
}

/* names_in_sight(): locals and upvalues of the script's function that runs. */
static int names_in_sight(lua_State *L)
{
    lua_Debug at;
    const char *name;
    int level = 1;
    lua_settop(L, 0);
    lua_newtable(L);
    while (lua_getstack(L, level, &at) && lua_getinfo(L, "Sl", &at) && !bind_is_script_line(&at))
        level++;
    if (!lua_getstack(L, level, &at))
        return 1;
    for (int i = 1; (name = lua_getlocal(L, &at, i)); i++) {
        lua_pop(L, 1);
        lua_pushstring(L, name);
        list_name(L);
    }
    lua_getinfo(L, "f", &at);
    for (int i = 1; (name = lua_getupvalue(L, 2, i)); i++) {
        lua_pop(L, 1);
        lua_pushstring(L, name);
        list_name(L);
    }
    lua_settop(L, 1);
    return 1;
}

/* load_module(path, environment): the chunk, or nil when there is no such file. */
static int load_module(lua_State *L)
{
    const char *relative = luaL_checkstring(L, 1);
    if (bind_stamp_of(L)->sealed)
        return bind_raise(
            L,
            "require: %s is first needed within the build or read of a sweep with a "
            "file, where nobody would see that it has changed; require it further up, outside of "
            "them",
            bind_quoted(L, relative));
    lua_rawgetp(L, LUA_REGISTRYINDEX, &folder_key);
    const char *folder = lua_tostring(L, -1);
    if ((!folder || !host_push_file_below(L, folder, relative)) &&
        !host_push_file_below(L, folder = host_scripts_folder(), relative))
        return 0;
    size_t size;
    const char *text = lua_tolstring(L, -1, &size), *fault = host_plain_text(&text, &size);
    if (fault)
        return bind_raise(L, "require: '%s/%s' %s", folder, relative, fault);
    bind_hash_source(L, relative, text, size);
    if (luaL_loadbufferx(L, text, size, lua_pushfstring(L, "@%s/%s", folder, relative), "t") !=
        LUA_OK)
        return lua_error(L);
    lua_pushvalue(L, 2);
    lua_setupvalue(L, -2, 1);
    return 1;
}

/* Pushes the table that the registry keeps under the key, made when first asked for. */
static void push_kept(lua_State *L, const void *key)
{
    if (lua_rawgetp(L, LUA_REGISTRYINDEX, key) == LUA_TTABLE)
        return;
    lua_pop(L, 1);
    lua_newtable(L);
    lua_pushvalue(L, -1);
    lua_rawsetp(L, LUA_REGISTRYINDEX, key);
}

/* given.name: notes that the script looked at it. */
static int given_index(lua_State *L)
{
    push_kept(L, &read_key);
    lua_pushvalue(L, 2);
    lua_pushboolean(L, 1);
    if (!lua_isnil(L, 2))
        lua_rawset(L, -3);
    lua_settop(L, 2);
    push_kept(L, &given_key);
    lua_pushvalue(L, 2);
    lua_rawget(L, -2);
    return 1;
}

/* Walks over what was given, noting each as looked at. */
static int given_next(lua_State *L)
{
    lua_settop(L, 2);
    lua_pushvalue(L, 2);
    push_kept(L, &given_key);
    lua_replace(L, 1);
    if (!lua_next(L, 1))
        return 0;
    push_kept(L, &read_key);
    lua_pushvalue(L, -3);
    lua_pushboolean(L, 1);
    lua_rawset(L, -3);
    lua_pop(L, 1);
    return 2;
}

static int given_pairs(lua_State *L)
{
    lua_pushcfunction(L, given_next);
    lua_pushvalue(L, 1);
    lua_pushnil(L);
    return 3;
}

/* Refuses every change. */
static int given_newindex(lua_State *L)
{
    return bind_raise(L, "given: it holds what the command line gave and cannot be changed");
}

/* The table `given` that the script sees: empty itself, answered from the kept one. */
static void push_given(lua_State *L)
{
    static const luaL_Reg metamethods[] = {{"__index", given_index},
                                           {"__newindex", given_newindex},
                                           {"__pairs", given_pairs},
                                           {NULL, NULL}};
    lua_newtable(L);
    lua_newtable(L);
    luaL_setfuncs(L, metamethods, 0);
    lua_pushliteral(L, "given");
    lua_setfield(L, -2, "__metatable");
    lua_setmetatable(L, -2);
}

void host_api_push(lua_State *L)
{
    static const luaL_Reg functions[] = {
        {"metatable_of", metatable_of},
        {"new_math", luaopen_math}, /* with a random state of its own */
        {"fail", fail},
        {"raise_if_tripped", raise_if_tripped},
        {"out_of_memory", out_of_memory},
        {"placeholders_used", placeholders_used},
        {"print", print},
        {"load_module", load_module},
        {"names_in_sight", names_in_sight},
        {NULL, NULL},
    };
    lua_newtable(L);
    luaL_setfuncs(L, functions, 0);
    bind_push_core(L);
    lua_setfield(L, -2, "core");
    push_given(L);
    lua_setfield(L, -2, "given");
}

void host_api_set_folder(lua_State *L, const char *script_path)
{
    const char *slash = strrchr(script_path, '/');
    if (slash)
        lua_pushlstring(L, script_path, (size_t)(slash - script_path) + (slash == script_path));
    else
        lua_pushliteral(L, ".");
    lua_rawsetp(L, LUA_REGISTRYINDEX, &folder_key);
}

bool host_api_give(lua_State *L, const char *name, size_t length, const char *text)
{
    const int top = lua_gettop(L);
    push_kept(L, &given_key);
    lua_pushlstring(L, name, length);
    lua_pushvalue(L, -1);
    const bool fresh = lua_rawget(L, top + 1) == LUA_TNIL;
    lua_settop(L, top + 2);
    if (lua_stringtonumber(L, text) == 0)
        lua_pushstring(L, text);
    if (fresh)
        lua_rawset(L, top + 1);
    lua_settop(L, top);
    return fresh;
}

void host_api_report_unused(lua_State *L)
{
    const bind_sweeps *sweeps = bind_sweeps_of(L);
    const bind_check *check = bind_check_of(L);
    if (sweeps->pool_worked)
        return;
    if (sweeps->parts > 0 && !check->on)
        fputs("lodeloom: the script has no sweep with a file, so --part changed nothing\n", stderr);
    push_kept(L, &given_key);
    push_kept(L, &read_key);
    for (lua_pushnil(L); lua_next(L, -3); lua_pop(L, 1)) {
        lua_pushvalue(L, -2);
        if (lua_rawget(L, -4) == LUA_TNIL)
            fprintf(stderr, "lodeloom: the script never looked at '%s'\n", lua_tostring(L, -3));
        lua_pop(L, 1);
    }
    lua_pop(L, 2);
}
