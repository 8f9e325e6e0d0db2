/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include <lauxlib.h>

void bind_load_chunk(lua_State *L, const bind_chunk *chunk)
{
    const char *name = lua_pushfstring(L, BIND_OWN_CHUNK "%s", chunk->name);
    if (luaL_loadbufferx(L, chunk->bytes, chunk->size, name, "t") != LUA_OK)
        lua_error(L);
    lua_remove(L, -2);
}

static const char key; /* names the core table in the registry */

void bind_push_core(lua_State *L)
{
    if (lua_rawgetp(L, LUA_REGISTRYINDEX, &key) == LUA_TTABLE)
        return;
    lua_pop(L, 1);
    lua_newtable(L);
    lua_pushvalue(L, -1);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &key);
}

void bind_core_function(lua_State *L, const char *name, lua_CFunction function)
{
    bind_push_core(L);
    lua_pushcfunction(L, function);
    lua_setfield(L, -2, name);
    lua_pop(L, 1);
}
