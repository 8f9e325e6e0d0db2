/* pickup.c - ll.pickup: parts and coils put together and checked before anything is solved.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/nouns/pickup.h"
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/odd.h"
#include "module/base/settings.h"
#include <ctype.h>
#include <math.h>
#include <string.h>

#define FIELD(member) offsetof(bind_pickup, member)

static const bind_field pickup_table[] = {
    {"parts", FIELD_OBJECTS, FIELD(parts), .meaning = "list of parts; lists within it are fine",
     .of = &bind_noun_part},
    {"coils", FIELD_OBJECTS, FIELD(coils), .meaning = "list of coils, connected in series",
     .of = &bind_noun_coil},
    {"name", FIELD_TEXT, FIELD(name), .meaning = "as tables and messages call it"},
    {"accuracy", FIELD_NUMBER, FIELD(accuracy),
     .meaning = "mesh error asked for, of a reading's largest value (default 0.5)",
     .unit = UNIT_PERCENT, .low = 0.05, .high = 20, .usual = USUAL_ACCURACY},
    {"contact_gap", FIELD_NUMBER, FIELD(contact_gap_m),
     .meaning = "air left where parts merely touch (default: steel joins, a magnet keeps 0.02)",
     .unit = UNIT_MM, .low = 0, .high = 1},
    {"lead", FIELD_NUMBER, FIELD(lead_f),
     .meaning =
         "capacitance of its own lead, across all coils; 42 pF (0.35 m of screened wire) beside a "
         "computed capacitance, none beside a measured one, when left out",
     .unit = UNIT_F, .high = 1e-6, .usual = USUAL_CABLE_F},
    {"temperature", FIELD_NUMBER, FIELD(temperature_c),
     .meaning = "of its magnets, unless they have their own (default 20)", .unit = UNIT_CELSIUS,
     .low = -40, .high = 150, .usual = USUAL_CELSIUS},
};
static const bind_pickup pickup_defaults = {.temperature_c = LL_TABLES_CELSIUS, .lead_f = -1};

static int make_pickup(lua_State *L);

const bind_noun bind_noun_pickup = {.name = "pickup",
                                    .article = "a pickup",
                                    .type = "lodeloom.pickup",
                                    .size = sizeof(bind_pickup),
                                    .defaults = &pickup_defaults,
                                    BIND_NOUN_FIELDS(pickup_table),
                                    .make = make_pickup};

const bind_part *bind_pickup_part(const bind_pickup *pickup, size_t i)
{
    return pickup->parts.items[i];
}

const bind_coil *bind_pickup_coil(const bind_pickup *pickup, size_t i)
{
    return pickup->coils.items[i];
}

const char *bind_part_name(lua_State *L, const bind_pickup *pickup, size_t i)
{
    const bind_part *part = bind_pickup_part(pickup, i);
    lua_Integer number = 1, namesakes = 0;
    if (!part->name)
        return lua_pushfstring(L, "part %I", (lua_Integer)i + 1);
    for (size_t k = 0; k < pickup->parts.count; k++) {
        const char *other = bind_pickup_part(pickup, k)->name;
        if (k != i && other && strcmp(part->name, other) == 0) {
            namesakes++;
            number += k < i;
        }
    }
    const size_t length = strlen(part->name);
    const bool in_row = length > 0 && isdigit((unsigned char)part->name[length - 1]);
    return namesakes == 0
               ? lua_pushstring(L, part->name)
               : lua_pushfstring(L, in_row ? "%s, row %I" : "%s, number %I", part->name, number);
}

const char *bind_part_label(lua_State *L, const bind_pickup *pickup, size_t i)
{
    const char *name = bind_part_name(L, pickup, i);
    const bool named = bind_pickup_part(pickup, i)->name != NULL;
    const char *label = named ? lua_pushfstring(L, "part %s", bind_quoted(L, name)) : name;
    return label;
}

const char *bind_coil_label(lua_State *L, const bind_pickup *pickup, size_t i)
{
    const bind_coil *coil = bind_pickup_coil(pickup, i);
    return coil->name ? lua_pushfstring(L, "coil %s", bind_quoted(L, coil->name))
                      : lua_pushfstring(L, "coil %I", (lua_Integer)i + 1);
}

const char *bind_coil_name(lua_State *L, const bind_pickup *pickup, size_t i)
{
    const bind_coil *coil = bind_pickup_coil(pickup, i);
    return coil->name ? lua_pushstring(L, coil->name)
                      : lua_pushfstring(L, "coil %I", (lua_Integer)i + 1);
}

/* The finish is hot by custom. */
static double lead_sign(const bind_coil *coil)
{
    return coil->hot == BIND_HOT_FINISH ? 1 : -1;
}

double bind_coil_sign(const bind_pickup *pickup, size_t i)
{
    const bind_coil *coil = bind_pickup_coil(pickup, i);
    /* Seen from the strings, counter-clockwise counts B along +z positive. */
    const double hand = coil->hand == BIND_CCW ? 1 : -1;
    return hand * lead_sign(coil) * bind_hot_sign(pickup);
}

double bind_hot_sign(const bind_pickup *pickup)
{
    return pickup->coils.count ? lead_sign(bind_pickup_coil(pickup, 0)) : 1;
}

/* Of a magnet, over that for which the tables hold. */
static double warmer_k(const bind_pickup *pickup, const bind_part *part)
{
    const double own = isnan(part->temperature_c) ? pickup->temperature_c : part->temperature_c;
    return own - LL_TABLES_CELSIUS;
}

/* Away from 20 degrees a magnet needs a coefficient. */
static void check_temperatures(lua_State *L, bind_pickup *pickup, const char *place)
{
    for (size_t i = 0; i < pickup->parts.count; i++) {
        const bind_part *part = bind_pickup_part(pickup, i);
        const ll_material *m = part->material;
        if (ll_material_kind(m) != LL_MAGNET || warmer_k(pickup, part) == 0 ||
            ll_material_remanence_per_k(m) != 0)
            continue;
        pickup->head.wrong = true;
        bind_mistake(L,
                     "%s: %s: no temperature coefficient is known for its material (%s); leave "
                     "'temperature' out, or describe the magnet by its figures at that "
                     "temperature, with ll.magnet{...} and temperature = 20",
                     place, bind_part_label(L, pickup, i), ll_material_name(m));
        lua_pop(L, 1);
    }
}

/* In the order of the list: part i of the pickup is part i of the scene. */
static ll_status add_parts(const bind_pickup *pickup, ll_scene *scene)
{
    ll_status status = LL_OK;
    for (size_t i = 0; i < pickup->parts.count && status == LL_OK; i++) {
        const bind_part *p = bind_pickup_part(pickup, i);
        ll_part part = {.name = p->name ? p->name : "",
                        .shape = p->shape,
                        .pose = p->pose,
                        .material = p->material,
                        .north = p->north,
                        .charge = p->charge,
                        .charged = (ll_charging)p->charged,
                        .warmer_k = warmer_k(pickup, p)};
        part.holes = p->holes.count;
        for (size_t k = 0; k < part.holes; k++) {
            const double *hole = p->holes.values + 3 * k;
            part.hole[k] =
                (ll_hole){ll_to_world(&p->pose, ll_vec(hole[0], hole[1], 0)), hole[2] / 2};
        }
        status = ll_scene_add_part(scene, &part);
    }
    return status;
}

/* Turns are positive; winding direction and hot lead are signs that readings apply. */
static ll_status add_coils(const bind_pickup *pickup, bool swapped, ll_scene *scene)
{
    ll_status status = LL_OK;
    for (size_t i = 0; i < pickup->coils.count && status == LL_OK; i++) {
        const bind_coil *c = bind_pickup_coil(pickup, i);
        ll_coil coil = {
            .name = c->name ? c->name : "", .shape = c->shape, .pose = c->pose, .turns = c->turns};
        if (swapped) {
            coil.shape.opening_x_m = c->shape.opening_y_m;
            coil.shape.opening_y_m = c->shape.opening_x_m;
        }
        status = ll_scene_add_coil(scene, &coil);
    }
    return status;
}

/* True when nothing would clash if the two numbers of each opening changed places: they were written the wrong way round. */
static bool openings_are_swapped(const bind_pickup *pickup)
{
    ll_scene *scene = NULL;
    ll_clash clash;
    size_t found = 1;
    ll_status status = ll_scene_new(&scene);
    if (status == LL_OK)
        status = add_parts(pickup, scene);
    if (status == LL_OK)
        status = add_coils(pickup, true, scene);
    if (status == LL_OK)
        status = ll_scene_check(scene, 1, &clash, &found);
    ll_scene_free(scene);
    return status == LL_OK && found == 0;
}

/* To a tenth of a millimetre, small ones upwards to a micrometre: never shown as zero. */
static double shown_depth_m(double depth_m)
{
    return depth_m < 0.1e-3 ? ceil(depth_m * 1e6) / 1e6 : round(depth_m * 1e4) / 1e4;
}

/* One clash in the trade's words. */
static void push_clash(lua_State *L, const bind_pickup *pickup, const ll_clash *clash)
{
    const char *other = clash->with_coil ? lua_pushfstring(L, "the winding of %s",
                                                           bind_coil_label(L, pickup, clash->b))
                                         : bind_part_label(L, pickup, clash->b);
    const char *part = bind_part_label(L, pickup, clash->a);
    lua_pushfstring(L, "%s cuts into %s by %s", part, other,
                    bind_quantity(L, UNIT_MM, shown_depth_m(clash->depth_m)));
}

/* Something stands in metal that is not magnetic: a cover, a base plate, a washer. */
static bool is_through_metal(const bind_pickup *pickup, const ll_clash *clash)
{
    const bind_part *a = bind_pickup_part(pickup, clash->a);
    const bind_part *b = clash->with_coil ? NULL : bind_pickup_part(pickup, clash->b);
    return b && (ll_material_kind(a->material) == LL_CONDUCTOR) !=
                    (ll_material_kind(b->material) == LL_CONDUCTOR);
}

/* All of them in one message, cure last. */
static void report_clashes(lua_State *L, const bind_pickup *pickup, const char *place,
                           const ll_clash *clashes, size_t shown, size_t found)
{
    luaL_Buffer text;
    luaL_buffinit(L, &text);
    for (size_t i = 0; i < shown; i++) {
        int top = lua_gettop(L);
        luaL_checkstack(L, 20, "too deeply nested");
        push_clash(L, pickup, &clashes[i]);
        lua_replace(L, top + 1);
        lua_settop(L, top + 1);
        if (i > 0) {
            luaL_addstring(&text, "; ");
        }
        luaL_addvalue(&text);
    }
    luaL_pushresult(&text);
    const char *more = found > shown
                           ? lua_pushfstring(L, "; and %I more", (lua_Integer)(found - shown))
                           : lua_pushliteral(L, "");
    const char *cure =
        openings_are_swapped(pickup)
            ? "'opening' is {across the strings, along them}: its numbers are swapped"
        : is_through_metal(pickup, clashes)
            ? "move or shrink one of them; ll.plate{...} and ll.cover{...} have clear holes, each "
              "{x, y, diameter}"
            : "move or shrink one of them (steel may overlap steel)";
    bind_mistake(L, "%s: %s%s; %s", place, lua_tostring(L, -2), more, cure);
}

/* Parts in parts, and parts in windings. */
static void check_clashes(lua_State *L, bind_pickup *pickup, const char *place)
{
    enum { SHOWN = 5 };
    ll_clash clashes[SHOWN];
    size_t found = 0;
    bind_demand(L, ll_scene_check(pickup->scene, SHOWN, clashes, &found), place);
    if (found == 0)
        return;
    pickup->head.wrong = true;
    report_clashes(L, pickup, place, clashes, found < SHOWN ? found : SHOWN, found);
}

/* Half of the longest side of anything in the pickup. */
static double half_size_m(const bind_pickup *pickup)
{
    double half_m = 0;
    for (size_t i = 0; i < pickup->parts.count; i++) {
        const bind_part *part = bind_pickup_part(pickup, i);
        for (int axis = 0; axis < 3; axis++) {
            const ll_vec3 side = ll_vec(axis == 0, axis == 1, axis == 2);
            half_m = fmax(half_m, ll_shape_reach_m(&part->shape, &part->pose.rotation, side));
        }
    }
    for (size_t i = 0; i < pickup->coils.count; i++) {
        const bind_coil *coil = bind_pickup_coil(pickup, i);
        half_m = fmax(half_m, fmax(coil->opening_m[0], coil->opening_m[1]) / 2 + coil->build_m);
    }
    return half_m;
}

/* No pickup is that small, but in inches all are. */
static void check_size(lua_State *L, const bind_pickup *pickup, int box, const char *place)
{
    const double size_mm = bind_from_si(UNIT_MM, 2 * half_size_m(pickup));
    if (bind_judge(USUAL_PICKUP_SIZE, size_mm) == IS_USUAL)
        return;
    lua_getiuservalue(L, box, 1);
    lua_pushfstring(L, "its longest part is %s mm; %s%s", bind_number(L, size_mm),
                    bind_push_usual(L, USUAL_PICKUP_SIZE),
                    bind_push_cure(L, USUAL_PICKUP_SIZE, size_mm));
    bind_odd(L, box + 1, place, "size");
    lua_settop(L, box);
}

/* The box owns the scene from its first moment, so that an error leaks nothing. */
static void build_scene(lua_State *L, bind_pickup *pickup, const char *place)
{
    check_temperatures(L, pickup, place);
    if (pickup->head.wrong)
        return;
    bind_demand(L, ll_scene_new(&pickup->scene), place);
    bind_demand(L, add_parts(pickup, pickup->scene), place);
    bind_demand(L, add_coils(pickup, false, pickup->scene), place);
    const bind_limits *limits = bind_limits_of(L);
    const ll_solve_options options = {
        .memory_limit_bytes = limits->memory_left ? limits->memory_left(L) : limits->memory_bytes,
        .contact_gap_m = pickup->contact_gap_m};
    bind_demand(L, ll_estimator_new(pickup->scene, &options, pickup->accuracy, &pickup->estimator),
                place);
    check_clashes(L, pickup, place);
}

/* ll.pickup{...}: checked at once, solved when first read. */
static int make_pickup(lua_State *L)
{
    lua_settop(L, 1);
    const char *place = bind_place_of(L, &bind_noun_pickup);
    bind_pickup *pickup = bind_object_make(L, &bind_noun_pickup, place);
    int box = lua_gettop(L);
    bind_push_core(L); /* the next pickup's first coil is coil 1 again */
    lua_pushinteger(L, 0);
    lua_setfield(L, -2, "coils_made");
    lua_pop(L, 1);
    if (!pickup->head.wrong && pickup->parts.count + pickup->coils.count == 0) {
        pickup->head.wrong = true;
        bind_mistake(L, "%s: it has neither parts nor coils", place);
    }
    if (!pickup->head.wrong)
        build_scene(L, pickup, place);
    lua_settop(L, box);
    if (!pickup->head.wrong)
        check_size(L, pickup, box, place);
    return 1;
}

/* Runs at collection and when a variable closes, in any order. */
static int pickup_clear(lua_State *L)
{
    bind_pickup *pickup = lua_touserdata(L, 1);
    ll_estimator_free(pickup->estimator);
    ll_scene_free(pickup->scene);
    pickup->estimator = NULL;
    pickup->scene = NULL;
    return 0;
}

void bind_open_pickup(lua_State *L)
{
    static const luaL_Reg none[] = {{NULL, NULL}}; /* its readings are added */
    static const luaL_Reg functions[] = {{"pickup", make_pickup}, {NULL, NULL}};
    bind_object_register(L, &bind_noun_pickup, none, pickup_clear);
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &bind_noun_pickup);
}
