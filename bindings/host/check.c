/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "explain.h"
#include <stdio.h>

int host_check(host_sandbox *sandbox, const char *path, double time_limit_s)
{
    lua_State *L = sandbox->L;
    int status = host_sandbox_run(sandbox, path, time_limit_s);
    int mistakes = status == HOST_FINE ? host_list_mistakes(L) : 0;
    if (status != HOST_FINE)
        return status;
    if (mistakes > 0)
        return HOST_WRONG;
    printf("%s: no mistakes found\n", path);
    return HOST_FINE;
}
