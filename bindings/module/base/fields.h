/* fields.h - reads the named fields of a description into a C struct, from a table that says what may stand
 * there: name, kind, unit, range. The same table serves messages, `ll.fields` and completion.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_FIELDS_H
#define LL_BIND_FIELDS_H

#include "module/base/noun.h"
#include "module/base/values.h"

/* Reads the table at `index` into *out, which must hold the noun's defaults. `place` opens messages ("coil 1").
 * Pushes a private copy of the table; whatever *out points to lives as long as that copy.
 * Raises at a mistake; in a check notes them all and returns false. */
bool bind_parse(lua_State *L, int index, const bind_noun *noun, const char *place, void *out);

/* Pushes a list of records {field, kind, type, unit, range, needed, meaning, of} of a noun. */
void bind_push_fields(lua_State *L, const bind_noun *noun);

/* Makes the noun's fields known to `ll.fields`. */
void bind_offer_fields(lua_State *L, const bind_noun *noun);

#endif
