/* offer.h - what a reading says of itself, for help, completion and lists of words.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_OFFER_H
#define LL_BIND_OFFER_H

#include "module/base/reading.h"

/* Adds it to core.readings: { of, name, call, gives, meaning, columns = {{column, unit, error, meaning}, ...} }, and its options to
 * ll.fields. */
void bind_offer_reading(lua_State *L, const bind_reading *reading);

#endif
