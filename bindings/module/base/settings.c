/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/settings.h"
#include <string.h>

void *bind_state_box(lua_State *L, const void *key, size_t size, const void *initial)
{
    lua_rawgetp(L, LUA_REGISTRYINDEX, key);
    void *box = lua_touserdata(L, -1);
    lua_pop(L, 1);
    if (box)
        return box;
    box = lua_newuserdatauv(L, size, 0);
    memcpy(box, initial, size);
    lua_rawsetp(L, LUA_REGISTRYINDEX, key);
    return box;
}

bind_settings *bind_settings_of(lua_State *L)
{
    static const bind_settings usual = {.out_folder = -1, .in_folder = -1, .format = "text"};
    return bind_state_box(L, &usual, sizeof usual, &usual);
}
