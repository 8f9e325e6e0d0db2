/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/hash.h"
#include <inttypes.h>
#include <stdio.h>

uint64_t bind_hash(uint64_t hash, const char *bytes, size_t size)
{
    const uint64_t basis = 0xcbf29ce484222325, prime = 0x100000001b3;
    hash ^= basis;
    for (size_t i = 0; i < size; i++)
        hash = (hash ^ (unsigned char)bytes[i]) * prime;
    return hash;
}

void bind_hash_text(uint64_t hash, char text[BIND_HASH_TEXT])
{
    snprintf(text, BIND_HASH_TEXT, "%016" PRIx64, hash);
}
