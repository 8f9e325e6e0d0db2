/* readings.c - the list of all readings, and what happens when a script calls one.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/check_mode.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/offer.h"
#include "module/readings/query.h"
#include "module/readings/tuning.h"
#include <string.h>

/* A line for each, in the order of the manual: the reading bind_reading_NAME of a file of its own. */
#define READINGS(X)                                                                                \
    X(field)                                                                                       \
    X(section)                                                                                     \
    X(poles)                                                                                       \
    X(operating)                                                                                   \
    X(charge)                                                                                      \
    X(winding)                                                                                     \
    X(impedance)                                                                                   \
    X(sensitivity)                                                                                 \
    X(transfer)                                                                                    \
    X(hum)                                                                                         \
    X(screwdriver)                                                                                 \
    X(linkage)                                                                                     \
    X(map)                                                                                         \
    X(draw)                                                                                        \
    X(crosstalk)                                                                                   \
    X(pull)                                                                                        \
    X(along)                                                                                       \
    X(output)                                                                                      \
    X(listen)                                                                                      \
    X(microphony)                                                                                  \
    X(facts)                                                                                       \
    X(response)                                                                                    \
    X(peak)                                                                                        \
    X(noise)

#define DECLARE(name) extern const bind_reading bind_reading_##name;
READINGS(DECLARE)
#define ADDRESS(name) &bind_reading_##name,
static const bind_reading *const readings[] = {READINGS(ADDRESS)};

/* An option that may stand alone gets its name. */
static void name_sole_option(lua_State *L, const bind_reading *reading)
{
    const char *name = reading->options.fields[0].name;
    if (lua_type(L, 2) == LUA_TTABLE && bind_given(L, 2, name))
        return;
    lua_newtable(L);
    lua_insert(L, 2);
    lua_setfield(L, 2, name);
}

/* Pushes what was said with the reading, on its defaults. */
static const void *push_options(bind_query *r, const bind_reading *reading)
{
    lua_State *L = r->L;
    const bind_noun *noun = &reading->options;
    void *options = bind_buffer(L, 1, noun->size + 1);
    if (noun->defaults)
        memcpy(options, noun->defaults, noun->size);
    if (noun->field_count)
        r->fine = bind_parse(L, 2, noun, r->place, options);
    bind_result_rests_on(r->t, -1);
    return options;
}

/* Pushes "pickup 'neck': field". */
static const char *push_place(lua_State *L, const bind_reading *reading)
{
    const char *of = reading->of->name;
    if (lua_getiuservalue(L, 1, 1) == LUA_TTABLE && lua_getfield(L, -1, "name") == LUA_TSTRING)
        of = lua_pushfstring(L, "%s %s", of, bind_quoted(L, lua_tostring(L, -1)));
    return lua_pushfstring(L, "%s: %s", of, reading->name);
}

/* object:reading{...} for all of them. */
static int call_reading(lua_State *L)
{
    const bind_reading *reading = lua_touserdata(L, lua_upvalueindex(1));
    void *self = bind_self(L, reading->of, reading->name);
    lua_settop(L, 2);
    if (reading->sole)
        name_sole_option(L, reading);
    else if (lua_isnil(L, 2)) {
        lua_newtable(L);
        lua_replace(L, 2);
    }
    bind_result t = bind_result_begin(L, reading);
    bind_query r = {.L = L, .t = &t, .place = push_place(L, reading), .fine = true};
    r.pickup = reading->of == &bind_noun_pickup ? self : NULL;
    r.network = reading->of == &bind_noun_network ? self : NULL;
    bind_result_rests_on(&t, 1);
    return reading->read(&r, push_options(&r, reading));
}

/* A method of what it is asked of. */
static void add_method(lua_State *L, const bind_reading *reading)
{
    const int top = lua_gettop(L);
    bind_push_core(L);
    lua_getfield(L, -1, "methods");
    lua_getfield(L, -1, reading->of->name);
    lua_pushlightuserdata(L, (void *)reading);
    lua_pushcclosure(L, call_reading, 1);
    bind_guard(L);
    lua_setfield(L, -2, reading->name);
    lua_settop(L, top);
}

void bind_open_readings(lua_State *L)
{
    for (size_t i = 0; i < sizeof readings / sizeof *readings; i++) {
        add_method(L, readings[i]);
        bind_offer_reading(L, readings[i]);
    }
    bind_offer_fields(L, &bind_pluck_noun);
}
