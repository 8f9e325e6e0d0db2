/* fuzz_prompt.c - the tab key and help: the input is what stands before a word, a zero byte, and the word.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/rows.h"
#include "target.h"
#include <string.h>

/* (before, word): what completion offers, and what help says of the word. */
static int ask(lua_State *L)
{
    lua_settop(L, 2);
    host_load_own(L, "prompt");
    bind_push_core(L);
    lua_rawgeti(L, LUA_REGISTRYINDEX, (int)lua_tointeger(L, lua_upvalueindex(1)));
    lua_call(L, 2, 1);
    lua_pushvalue(L, 1);
    lua_pushvalue(L, 2);
    lua_call(L, 2, 0);
    lua_getglobal(L, "lodeloom");
    lua_getfield(L, -1, "help");
    lua_pushvalue(L, 2);
    lua_call(L, 1, 0);
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    host_sandbox *sandbox = fuzz_sandbox(true);
    lua_State *L = sandbox->L;
    const char *text = (const char *)data, *zero = size ? memchr(text, '\0', size) : NULL;
    const size_t before = zero ? (size_t)(zero - text) : size;
    lua_pushinteger(L, sandbox->environment);
    lua_pushcclosure(L, ask, 1);
    lua_pushlstring(L, text, before);
    lua_pushlstring(L, zero ? zero + 1 : "", zero ? size - before - 1 : 0);
    if (lua_pcall(L, 2, 0, 0) == LUA_ERRRUN && lua_type(L, -1) != LUA_TSTRING)
        fuzz_found("help raises what is no text");
    return 0;
}
