/* fuzz_journal.c - the rows of a sweep as files hold them, and shares that are joined: journal.lua says how.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "target.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_call_chunk(fuzz_sandbox(false), "journal", data, size);
    return 0;
}
