/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "own_chunks.h"
#include "module/base/chunks.h"
#include <string.h>

extern const bind_chunk host_chunks[];

bool host_load_own(lua_State *L, const char *name)
{
    for (size_t i = 0; host_chunks[i].name; i++)
        if (strcmp(host_chunks[i].name, name) == 0) {
            bind_load_chunk(L, &host_chunks[i]);
            return true;
        }
    return false;
}
