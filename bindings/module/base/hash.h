/* hash.h - a number that changes when a text does.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_HASH_H
#define LL_BIND_HASH_H

#include <stddef.h>
#include <stdint.h>

enum { BIND_HASH_TEXT = 17 }; /* 16 hexadecimal digits and the end */

/* FNV-1a in 64 bits (Fowler, Noll, Vo; RFC 9923), going on from `hash`, 0 at the start. Tells changed texts apart; no
 * guard against forgery. */
uint64_t bind_hash(uint64_t hash, const char *bytes, size_t size);

void bind_hash_text(uint64_t hash, char text[BIND_HASH_TEXT]);

#endif
