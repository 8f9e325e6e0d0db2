/* fuzz_describe.c - bytes choose what of the module is called, with which fields and values, in a check: every noun is made of random
 * fields and everything is asked of it, and nothing is solved. caller.lua says how.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "target.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    host_sandbox *sandbox = fuzz_sandbox(true);
    fuzz_fresh_environment(sandbox);
    fuzz_call_chunk(sandbox, "caller", data, size);
    fuzz_forget_mistakes(sandbox);
    return 0;
}
