/* fuzz_language.c - a script that is checked: all of the language, none of the solver. What was noted is told, too.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    host_sandbox *sandbox = fuzz_sandbox(true);
    fuzz_fresh_environment(sandbox);
    if (host_sandbox_load(sandbox, (const char *)data, size, "@fuzz.lua") &&
        host_sandbox_call(sandbox, 0) == HOST_FINE)
        host_list_mistakes(sandbox->L);
    fuzz_forget_mistakes(sandbox);
    return 0;
}
