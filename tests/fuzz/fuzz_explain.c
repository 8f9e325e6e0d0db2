/* fuzz_explain.c - a message in plainer words: the bytes as a message behind a place, as a message alone, and as a script whose
 * first error, mostly one of syntax, is explained.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "explain.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    host_sandbox *sandbox = fuzz_sandbox(true);
    lua_State *L = sandbox->L;
    lua_pushliteral(L, "fuzz.lua:1: ");
    lua_pushlstring(L, (const char *)data, size);
    lua_concat(L, 2);
    host_say_mistake(L);
    lua_settop(L, 0);
    lua_pushlstring(L, (const char *)data, size);
    host_say_mistake(L);
    lua_settop(L, 0);
    if (!host_sandbox_load(sandbox, (const char *)data, size, "@fuzz.lua"))
        host_say_mistake(L);
    return 0;
}
