/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/settings.h"
#include <math.h>

static const char key; /* its address names the settings in the registry */

bind_settings *bind_settings_of(lua_State *L)
{
    lua_rawgetp(L, LUA_REGISTRYINDEX, &key);
    bind_settings *settings = lua_touserdata(L, -1);
    lua_pop(L, 1);
    if (settings)
        return settings;
    settings = lua_newuserdatauv(L, sizeof *settings, 0);
    *settings = (bind_settings){
        .out_folder = -1, .format = "text", .mesh_error = -1, .worst_mesh_error = -1};
    lua_rawsetp(L, LUA_REGISTRYINDEX, &key);
    return settings;
}

void bind_add_mesh_error(bind_settings *settings, double error, bool missed)
{
    settings->worst_mesh_error = fmax(settings->worst_mesh_error, error);
    settings->mesh_error_missed |= missed;
}
