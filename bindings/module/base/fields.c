/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fields.h"
#include "module/base/check_mode.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/field_kinds.h"
#include "module/base/nearest.h"
#include "module/base/odd.h"
#include "module/base/values.h"
#include <lauxlib.h>
#include <math.h>
#include <string.h>

enum { LONGEST_TEXT = 80 };

/* A number in range. */
static bool parse_number(const bind_parser *p)
{
    return bind_parse_number(p, p->value, p->out);
}

/* Counts and fret numbers. */
static bool parse_whole(const bind_parser *p)
{
    double value = 0;
    if (!bind_parse_number(p, p->value, &value))
        return false;
    if (value != floor(value))
        return bind_wrong(p, "a whole number");
    *(double *)p->out = value;
    return true;
}

static bool parse_flag(const bind_parser *p)
{
    if (!lua_isboolean(p->L, p->value))
        return bind_wrong(p, "true or false");
    *(bool *)p->out = lua_toboolean(p->L, p->value);
    return true;
}

/* Names end up on terminals and in files: printable, and not endless. */
static bool parse_text(const bind_parser *p)
{
    size_t length = 0;
    if (lua_type(p->L, p->value) != LUA_TSTRING)
        return bind_wrong(p, "a text in quotes");
    const char *text = lua_tolstring(p->L, p->value, &length);
    if (length == 0 || length > LONGEST_TEXT)
        return bind_wrong(p, "a text of 1 to 80 letters");
    for (size_t i = 0; i < length; i++)
        if ((unsigned char)text[i] < ' ' || text[i] == 0x7f)
            return bind_wrong(p, "a text on one line, without control characters");
    *(const char **)p->out = text;
    return true;
}

/* Pushes the choices as a message lists them: "a", "b" or "c". */
static const char *push_words(lua_State *L, const char *const *words)
{
    luaL_Buffer buffer;
    luaL_buffinit(L, &buffer);
    for (size_t i = 0; words[i]; i++) {
        luaL_addstring(&buffer, i == 0 ? "\"" : words[i + 1] ? ", \"" : " or \"");
        luaL_addstring(&buffer, words[i]);
        luaL_addchar(&buffer, '"');
    }
    luaL_pushresult(&buffer);
    return lua_tostring(L, -1);
}

/* One of a few words, stored as its index. */
static bool parse_choice(const bind_parser *p)
{
    const char *const *words = p->field->words;
    const char *text = lua_type(p->L, p->value) == LUA_TSTRING ? lua_tostring(p->L, p->value) : "";
    for (int i = 0; words[i]; i++)
        if (strcmp(text, words[i]) == 0) {
            *(int *)p->out = i;
            return true;
        }
    return bind_wrong(p, push_words(p->L, words));
}

/* Two numbers. */
static bool parse_pair(const bind_parser *p)
{
    return bind_parse_numbers(p, p->value, 2, p->out);
}

/* The noun knows how. */
static bool parse_named(const bind_parser *p)
{
    return p->field->of->parse_named(p);
}

/* A table within the table, with fields of its own. */
static bool parse_record(const bind_parser *p)
{
    bool fine = bind_parse(p->L, p->value, p->field->of,
                           lua_pushfstring(p->L, "%s: '%s'", p->place, p->field->name), p->out);
    bind_odd_inherit(p->L, p->copy, -1);
    lua_setfield(p->L, p->copy, p->field->name);
    return fine;
}

/* Stays in the copy, where Lua finds it. */
static bool parse_function(const bind_parser *p)
{
    return lua_isfunction(p->L, p->value) || bind_wrong(p, "a function");
}

/* Read by the noun itself, or in Lua. */
static bool parse_any(const bind_parser *p)
{
    (void)p;
    return true;
}

/* `text` for people, `type` for editors that know annotated Lua. */
static const struct {
    bool (*read)(const bind_parser *p);
    const char *text, *type;
} kinds[] = {
    [FIELD_NUMBER] = {parse_number, "number", "number"},
    [FIELD_WHOLE] = {parse_whole, "whole number", "integer"},
    [FIELD_FLAG] = {parse_flag, "true or false", "boolean"},
    [FIELD_FLAGS] = {bind_parse_flags, "list of true or false", "boolean|boolean[]"},
    [FIELD_TEXT] = {parse_text, "text", "string"},
    [FIELD_CHOICE] = {parse_choice, "one of", "string"},
    [FIELD_PAIR] = {parse_pair, "{x, y}", "number[]"},
    [FIELD_PLACE] = {bind_parse_place, "{x, y, z}", "number[]"},
    [FIELD_DIRECTION] = {bind_parse_direction, "direction", "string|number[]"},
    [FIELD_TURN] = {bind_parse_turn, "turns", "table"},
    [FIELD_LIST] = {bind_parse_list, "list", "number|table"},
    [FIELD_NAMED] = {parse_named, "", "string"},
    [FIELD_OBJECT] = {bind_parse_object, "object", ""},
    [FIELD_OBJECTS] = {bind_parse_objects, "list of objects", "table"},
    [FIELD_RECORD] = {parse_record, "fields", "table"},
    [FIELD_FUNCTION] = {parse_function, "function", "function"},
    [FIELD_ANY] = {parse_any, "value", "any"},
};

/* NULL when the noun has no such field. */
static const bind_field *field_named(const bind_noun *noun, const char *name)
{
    for (size_t i = 0; i < noun->field_count; i++)
        if (strcmp(noun->fields[i].name, name) == 0)
            return &noun->fields[i];
    return NULL;
}

/* In a check, after a mistake that was told: the field says no more, not even that it is missing. */
static void silence(lua_State *L, int table, const char *field)
{
    if (bind_given(L, table, field))
        return;
    bind_push_unknown(L);
    lua_setfield(L, table, field);
}

/* Pushes the names of a noun's fields. */
static const char *push_names(lua_State *L, const bind_noun *noun)
{
    luaL_Buffer names;
    luaL_buffinit(L, &names);
    for (size_t i = 0; i < noun->field_count; i++) {
        luaL_addstring(&names, i ? ", " : "");
        luaL_addstring(&names, noun->fields[i].name);
    }
    luaL_pushresult(&names);
    return lua_tostring(L, -1);
}

/* With the nearest name, or all of them. */
static void refuse_name(lua_State *L, int table, const bind_noun *noun, const char *place,
                        const char *name)
{
    bind_nearest nearest = {.wanted = name};
    for (size_t i = 0; i < noun->field_count; i++)
        bind_nearest_try(&nearest, noun->fields[i].name);
    const char *quoted = bind_quoted(L, name);
    if (nearest.name)
        bind_mistake(L, "%s: %s is not a field of %s; did you mean '%s'?", place, quoted,
                     noun->article, nearest.name);
    else
        bind_mistake(L, "%s: %s is not a field of %s; its fields: %s", place, quoted, noun->article,
                     push_names(L, noun));
    if (nearest.name)
        silence(L, table, nearest.name);
}

/* The field that takes such an object, NULL when none does. */
static const bind_field *field_for(lua_State *L, int index, const bind_noun *noun)
{
    for (size_t i = 0; lua_type(L, index) == LUA_TUSERDATA && i < noun->field_count; i++) {
        const bind_field *field = &noun->fields[i];
        if ((field->kind == FIELD_OBJECT || field->kind == FIELD_OBJECTS) &&
            bind_test(L, index, field->of))
            return field;
    }
    return NULL;
}

/* ll.coil{ 8000, ... } names nothing, and build = 3,5 is a 3 and a lonely 5. The first such value is item 1. */
static void refuse_unnamed(lua_State *L, int table, const bind_noun *noun, const char *place)
{
    lua_rawgeti(L, table, 1);
    const bind_field *meant = field_for(L, -1, noun);
    bind_push_found(L, -1);
    const char *found = lua_tostring(L, -1);
    const char *point =
        lua_type(L, -2) == LUA_TNUMBER ? "; decimals take a point, 2.5 and not 2,5" : "";
    if (meant)
        bind_mistake(L,
                     "%s: %s stands without a name; write %s = before it, as in ll.%s{ %s = ... }",
                     place, found, meant->name, noun->name, meant->name);
    else
        bind_mistake(L,
                     "%s: %s stands without a name: each value of %s is written as in %s = ...%s",
                     place, found, noun->article, noun->fields[0].name, point);
    for (size_t i = 0; i < noun->field_count; i++)
        silence(L, table, noun->fields[i].name);
}

/* The alphabetically first key after `last` that is no field, NULL without one; *unnamed tells of keys that are no names. */
static const char *next_wrong_name(lua_State *L, int table, const bind_noun *noun, const char *last,
                                   bool *unnamed)
{
    const char *first = NULL;
    for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1)) {
        if (lua_type(L, -2) != LUA_TSTRING) {
            *unnamed = true;
            continue;
        }
        const char *name = lua_tostring(L, -2);
        if (strcmp(name, last) > 0 && (!first || strcmp(name, first) < 0) &&
            !field_named(noun, name))
            first = name;
    }
    return first;
}

/* Refuses every key that is not a field. Keys come in no particular order: they are looked for again and again, so that the same
 * script always gets the same messages. */
static bool check_names(lua_State *L, int table, const bind_noun *noun, const char *place)
{
    bool fine = true, unnamed = false;
    for (const char *name = ""; (name = next_wrong_name(L, table, noun, name, &unnamed));) {
        refuse_name(L, table, noun, place, name);
        fine = false;
    }
    if (unnamed)
        refuse_unnamed(L, table, noun, place);
    return fine && !unnamed;
}

/* One field into its place in the struct; the stack is left as it was. */
static bool read_field(lua_State *L, int copy, const bind_field *field, const char *place,
                       void *out)
{
    int top = lua_gettop(L);
    bool fine = true;
    if (lua_getfield(L, copy, field->name) != LUA_TNIL && bind_is_unknown(L, -1)) {
        fine = false;
    } else if (!lua_isnil(L, -1)) {
        const bind_parser p = {L, field, place, copy, top + 1, (char *)out + field->offset};
        fine = kinds[field->kind].read(&p);
    } else if (field->required) {
        bind_mistake(L, "%s: '%s' is missing: %s", place, field->name, field->meaning);
        fine = false;
    }
    lua_settop(L, top);
    return fine;
}

bool bind_parse(lua_State *L, int index, const bind_noun *noun, const char *place, void *out)
{
    luaL_checkstack(L, 20, "too deeply nested");
    if (lua_type(L, index) != LUA_TTABLE) {
        bind_push_found(L, index);
        bind_mistake(L, "%s: named fields in braces were expected, as in { %s = ... }, not %s",
                     place, noun->fields[0].name, lua_tostring(L, -1));
        lua_newtable(L);
        return false;
    }
    bind_copy_top(L, index);
    int copy = lua_gettop(L);
    bool fine = check_names(L, copy, noun, place);
    lua_settop(L, copy);
    for (size_t i = 0; i < noun->field_count; i++)
        fine &= read_field(L, copy, &noun->fields[i], place, out);
    return fine;
}

/* Pushes the classes of the noun, or of the nouns that it stands for: "lodeloom.lumped|lodeloom.pickup". */
static void push_classes(lua_State *L, const bind_noun *noun)
{
    if (!noun->kinds) {
        lua_pushstring(L, noun->type);
        return;
    }
    lua_pushstring(L, noun->kinds[0]->type);
    for (size_t i = 1; noun->kinds[i]; i++) {
        lua_pushfstring(L, "%s|%s", lua_tostring(L, -1), noun->kinds[i]->type);
        lua_remove(L, -2);
    }
}

/* Pushes the type for editors: the choices themselves, the classes of objects. */
static void push_type(lua_State *L, const bind_field *field)
{
    const char *type = kinds[field->kind].type;
    if (field->kind == FIELD_CHOICE) {
        push_words(L, field->words);
        luaL_gsub(L, luaL_gsub(L, lua_tostring(L, -1), ", ", "|"), " or ", "|");
    } else if (field->kind == FIELD_NAMED) {
        push_classes(L, field->of);
        lua_pushfstring(L, "%s|%s", type, lua_tostring(L, -1));
    } else if (field->of && field->kind != FIELD_RECORD) {
        push_classes(L, field->of);
        lua_pushfstring(L, *type ? "%s|%s" : "%s", lua_tostring(L, -1), type);
    } else {
        lua_pushstring(L, type);
    }
}

/* Pushes what the manual calls the kind. */
static void push_kind(lua_State *L, const bind_field *field)
{
    if (field->kind == FIELD_CHOICE)
        push_words(L, field->words);
    else if (field->kind == FIELD_OBJECT || field->kind == FIELD_OBJECTS)
        lua_pushstring(L, field->of->article);
    else if (field->kind == FIELD_NAMED)
        lua_pushstring(L, field->of->name);
    else
        lua_pushstring(L, kinds[field->kind].text);
}

/* Moves the value on the top into the row at that index, and drops what else is above the row. */
static void keep(lua_State *L, int row, const char *key)
{
    lua_setfield(L, row, key);
    lua_settop(L, row);
}

/* One row of ll.fields; `type` and `of`, the noun of a record, are for annotations and completion. */
static void push_field(lua_State *L, const bind_field *field)
{
    lua_newtable(L);
    int row = lua_gettop(L);
    lua_pushstring(L, field->name);
    keep(L, row, "field");
    push_kind(L, field);
    keep(L, row, "kind");
    push_type(L, field);
    keep(L, row, "type");
    lua_pushstring(L, bind_unit_text(field->unit));
    keep(L, row, "unit");
    bind_range_text(L, field);
    keep(L, row, "range");
    lua_pushstring(L, field->required ? "yes" : "");
    keep(L, row, "needed");
    lua_pushstring(L, field->meaning);
    keep(L, row, "meaning");
    lua_pushstring(L, field->kind == FIELD_RECORD ? field->of->name : NULL);
    keep(L, row, "of");
}

void bind_push_fields(lua_State *L, const bind_noun *noun)
{
    lua_newtable(L);
    for (size_t i = 0; i < noun->field_count; i++) {
        push_field(L, &noun->fields[i]);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
}

void bind_offer_fields(lua_State *L, const bind_noun *noun)
{
    bind_push_core(L);
    luaL_getsubtable(L, -1, "fields");
    bind_push_fields(L, noun);
    lua_setfield(L, -2, noun->name);
    lua_pop(L, 2);
}
