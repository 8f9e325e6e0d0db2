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

static const bind_check usual_check = {.on = false};
static const bind_folders usual_folders = {.out = -1, .in = -1};
static const bind_talk usual_talk = {.format = "text"};
static const bind_limits usual_limits = {.memory_bytes = 0};
static const bind_sweeps usual_sweeps = {.processes = 0};
static const bind_stamp usual_stamp = {.sealed = false};
static const bind_reader usual_reader = {.for_script = false};

#define BOX(name) bind_state_box(L, &usual_##name, sizeof usual_##name, &usual_##name)

bind_check *bind_check_of(lua_State *L)
{
    return BOX(check);
}

bind_folders *bind_folders_of(lua_State *L)
{
    return BOX(folders);
}

bind_talk *bind_talk_of(lua_State *L)
{
    return BOX(talk);
}

bind_limits *bind_limits_of(lua_State *L)
{
    return BOX(limits);
}

bind_sweeps *bind_sweeps_of(lua_State *L)
{
    return BOX(sweeps);
}

bind_stamp *bind_stamp_of(lua_State *L)
{
    return BOX(stamp);
}

bind_reader *bind_reader_of(lua_State *L)
{
    return BOX(reader);
}

void bind_make_settings(lua_State *L)
{
    bind_check_of(L);
    bind_folders_of(L);
    bind_talk_of(L);
    bind_limits_of(L);
    bind_sweeps_of(L);
    bind_stamp_of(L);
    bind_reader_of(L);
}
