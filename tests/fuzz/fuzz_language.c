/* fuzz_language.c - a script that is checked: all of the language, none of the solver. What was noted is told, too.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "module/base/fault.h"
#include "target.h"

/* Mistakes of this input shall not be told again under the next. */
static void forget_mistakes(lua_State *L)
{
    bind_mistakes(L);
    for (lua_pushnil(L); lua_next(L, -2);) {
        lua_pop(L, 1);
        lua_pushvalue(L, -1);
        lua_pushnil(L);
        lua_rawset(L, -4);
    }
    lua_pop(L, 1);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    host_sandbox *sandbox = fuzz_sandbox(true);
    fuzz_fresh_environment(sandbox);
    if (host_sandbox_load(sandbox, (const char *)data, size, "@fuzz.lua") &&
        host_sandbox_call(sandbox, 0) == HOST_FINE)
        host_list_mistakes(sandbox->L);
    forget_mistakes(sandbox->L);
    return 0;
}
