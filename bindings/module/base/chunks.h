/* chunks.h - Lua source that is part of the program, embedded when it is built.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_CHUNKS_H
#define LL_BIND_CHUNKS_H

#include <lua.h>
#include <stddef.h>

typedef struct bind_chunk {
    const char *name;
    const char *bytes;
    size_t size;
} bind_chunk;

/* The module's own, in the order in which they are run; ends with a NULL name. */
extern const bind_chunk bind_chunks[];

/* Pushes the loaded chunk as a function; raises when it cannot be. */
void bind_load_chunk(lua_State *L, const bind_chunk *chunk);

/* Pushes the table that the module's own Lua chunks get as `core`. */
void bind_push_core(lua_State *L);

/* A function for the module's own Lua chunks only. */
void bind_core_function(lua_State *L, const char *name, lua_CFunction function);

#endif
