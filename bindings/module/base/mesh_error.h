/* mesh_error.h - how far the mesh may put a result off: gathered while its readings are taken, told under its rows, and the worst of
 * many kept for a sweep. Errors are relative; below zero there is none.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_MESH_ERROR_H
#define LL_BIND_MESH_ERROR_H

#include <lua.h>
#include <stdbool.h>

typedef struct bind_mesh_error {
    double error;
    double accuracy;     /* what was asked for */
    const char *measure; /* what both are relative to, in words */
} bind_mesh_error;

/* A new result begins: none of its readings has an error yet. */
void bind_mesh_error_begin(lua_State *L);
/* One kind of values of one of its readings; the worst stays. */
void bind_mesh_error_add(lua_State *L, double error, const char *measure);
/* The reading is whole: its accuracy is that of the result, which counts among those that a sweep looks at. */
void bind_mesh_error_done(lua_State *L, double accuracy);
/* That of the result, which has none afterwards. */
bind_mesh_error bind_mesh_error_take(lua_State *L);
/* One that was taken counts in the result under way, which rests on the same readings. */
void bind_mesh_error_again(lua_State *L, const bind_mesh_error *taken);

/* Adds to the core: take_mesh_error(), the worst of all results since the last call and whether one was worse than asked for, nothing
 * when none had a mesh; add_mesh_error(error, missed), which counts one among them. */
void bind_open_mesh_error(lua_State *L);

#endif
