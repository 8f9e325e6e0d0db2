/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/mesh_error.h"
#include "module/base/chunks.h"
#include "module/base/settings.h"
#include <lauxlib.h>
#include <math.h>

typedef struct state {
    bind_mesh_error result;
    double worst; /* of all results since it was last taken */
    bool missed;  /* one of them was worse than asked for */
} state;

static state *state_of(lua_State *L)
{
    static const state none = {.result = {.error = -1}, .worst = -1};
    return bind_state_box(L, &none, sizeof none, &none);
}

void bind_mesh_error_begin(lua_State *L)
{
    state_of(L)->result.error = -1;
}

void bind_mesh_error_add(lua_State *L, double error, const char *measure)
{
    bind_mesh_error *result = &state_of(L)->result;
    if (error < result->error)
        return;
    result->error = error;
    result->measure = measure;
}

static void count(state *s, double error, bool missed)
{
    s->worst = fmax(s->worst, error);
    s->missed |= missed;
}

void bind_mesh_error_done(lua_State *L, double accuracy)
{
    state *s = state_of(L);
    s->result.accuracy = accuracy;
    count(s, s->result.error, s->result.error > accuracy);
}

bind_mesh_error bind_mesh_error_take(lua_State *L)
{
    state *s = state_of(L);
    const bind_mesh_error taken = s->result;
    s->result.error = -1;
    return taken;
}

void bind_mesh_error_again(lua_State *L, const bind_mesh_error *taken)
{
    if (taken->error < 0)
        return;
    bind_mesh_error_add(L, taken->error, taken->measure);
    bind_mesh_error_done(L, taken->accuracy);
}

static int core_take_mesh_error(lua_State *L)
{
    state *s = state_of(L);
    if (s->worst < 0)
        return 0;
    lua_pushnumber(L, s->worst);
    lua_pushboolean(L, s->missed);
    s->worst = -1;
    s->missed = false;
    return 2;
}

static int core_add_mesh_error(lua_State *L)
{
    count(state_of(L), luaL_optnumber(L, 1, -1), lua_toboolean(L, 2));
    return 0;
}

void bind_open_mesh_error(lua_State *L)
{
    bind_core_function(L, "take_mesh_error", core_take_mesh_error);
    bind_core_function(L, "add_mesh_error", core_add_mesh_error);
}
