/* fuzz_table.c - a text file that is read as a table; table.lua says how.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "target.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_call_chunk(fuzz_sandbox(false), "table", data, size);
    return 0;
}
