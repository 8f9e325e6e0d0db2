/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/settings.h"

static const char key; /* its address names the settings in the registry */

bind_settings *bind_settings_of(lua_State *L)
{
    lua_rawgetp(L, LUA_REGISTRYINDEX, &key);
    bind_settings *settings = lua_touserdata(L, -1);
    lua_pop(L, 1);
    if (settings)
        return settings;
    settings = lua_newuserdatauv(L, sizeof *settings, 0);
    *settings = (bind_settings){.out_folder = -1, .format = "text"};
    lua_rawsetp(L, LUA_REGISTRYINDEX, &key);
    return settings;
}
