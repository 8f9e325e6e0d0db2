/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/noun.h"
#include <lauxlib.h>

void *bind_test(lua_State *L, int index, const bind_noun *noun)
{
    if (!noun->kinds)
        return luaL_testudata(L, index, noun->type);
    void *object = NULL;
    for (size_t i = 0; noun->kinds[i] && !object; i++)
        object = luaL_testudata(L, index, noun->kinds[i]->type);
    return object;
}
