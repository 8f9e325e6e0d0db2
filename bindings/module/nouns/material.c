/* material.c - ll.magnet, ll.steel, ll.conductor, ll.material.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/field_parser.h"
#include "module/base/nearest.h"
#include "module/base/odd.h"
#include "module/base/offer.h"
#include "module/base/plausible.h"
#include "module/base/rows.h"
#include "module/nouns/nouns.h"
#include <lauxlib.h>
#include <math.h>
#include <string.h>
#include <strings.h>

typedef struct magnet_fields {
    double remanence_t, recoil, conductivity_s_m;
    bind_list curve; /* {h in kA/m, b in T} */
} magnet_fields;

static const bind_field magnet_table[] = {
    {"remanence", FIELD_NUMBER, offsetof(magnet_fields, remanence_t),
     .meaning = "flux density that remains without a field", .unit = UNIT_MT, .high = 3000,
     .above_low = true, .usual = USUAL_REMANENCE},
    {"recoil", FIELD_NUMBER, offsetof(magnet_fields, recoil),
     .meaning = "relative permeability of the recoil line; 1.05, or the curve's slope at h = 0, "
                "when left out",
     .low = 1, .high = 100},
    {"conductivity", FIELD_NUMBER, offsetof(magnet_fields, conductivity_s_m),
     .meaning = "electric conductivity; 0 when left out", .unit = UNIT_S_M, .high = 1e8},
    {"curve", FIELD_LIST, offsetof(magnet_fields, curve),
     .meaning = "second quadrant, {h, b} in kA/m and T, from (-HcB, 0) to (0, remanence)",
     .width = 2},
};
static const bind_noun magnet_noun = {.name = "magnet",
                                      .article = "a magnet",
                                      .size = sizeof(magnet_fields),
                                      BIND_NOUN_FIELDS(magnet_table)};

typedef struct steel_fields {
    double mu_r, conductivity_s_m, saturation_t, mu_initial;
    bind_list curve; /* {h in A/m, b in T} */
} steel_fields;

static const bind_field steel_table[] = {
    {"mu_r", FIELD_NUMBER, offsetof(steel_fields, mu_r),
     .meaning = "relative permeability, a constant", .low = 1, .high = 1e6},
    {"conductivity", FIELD_NUMBER, offsetof(steel_fields, conductivity_s_m),
     .meaning = "electric conductivity; 0 when left out", .unit = UNIT_S_M, .high = 1e8,
     .usual = USUAL_CONDUCTIVITY},
    {"saturation", FIELD_NUMBER, offsetof(steel_fields, saturation_t),
     .meaning = "saturation polarisation Js of the arctangent law", .unit = UNIT_T, .high = 4,
     .above_low = true, .usual = USUAL_SATURATION},
    {"mu_initial", FIELD_NUMBER, offsetof(steel_fields, mu_initial),
     .meaning = "initial relative permeability of the arctangent law", .low = 1, .high = 1e6,
     .above_low = true},
    {"curve", FIELD_LIST, offsetof(steel_fields, curve),
     .meaning = "{h, b} in A/m and T from (0, 0)", .width = 2},
};
static const bind_noun steel_noun = {.name = "steel",
                                     .article = "a steel",
                                     .size = sizeof(steel_fields),
                                     BIND_NOUN_FIELDS(steel_table)};

static const bind_field conductor_table[] = {
    {"conductivity", FIELD_NUMBER, 0, .meaning = "electric conductivity", .required = true,
     .unit = UNIT_S_M, .high = 1e8, .above_low = true, .usual = USUAL_CONDUCTIVITY},
};
static const bind_noun conductor_noun = {.name = "conductor",
                                         .article = "a conductor",
                                         .size = sizeof(double),
                                         BIND_NOUN_FIELDS(conductor_table)};

/* A material shows its figures through methods; its fields depend on how it was made. */
static const bind_field material_table[] = {
    {"name", FIELD_TEXT, 0, .meaning = "as the tables have it"},
};
static bool parse_material(const bind_parser *p);

const bind_noun bind_noun_material = {.name = "material",
                                      .article = "a material",
                                      .type = "lodeloom.material",
                                      .size = sizeof(bind_material),
                                      BIND_NOUN_FIELDS(material_table),
                                      .parse_named = parse_material};

bool bind_push_named_material(lua_State *L, const char *name)
{
    bind_material *box = bind_object_new(L, &bind_noun_material);
    ll_status status = ll_material_named(name, &box->material);
    if (status == LL_OK)
        return true;
    if (status != LL_UNKNOWN_NAME)
        bind_demand(L, status, "material");
    lua_pop(L, 1);
    return false;
}

/* Pushes the names of the tables that begin with the letters of this one, which has another number; "" when none does. */
static const char *push_family(lua_State *L, const char *name)
{
    const size_t letters = strcspn(name, "0123456789 -");
    luaL_Buffer names;
    bool any = false;
    luaL_buffinit(L, &names);
    for (size_t i = 0; letters > 2 && i < ll_material_row_count(); i++) {
        const char *other = ll_material_row_at(i)->name;
        if (strncasecmp(name, other, letters) != 0 || strcspn(other, "0123456789 -") != letters)
            continue;
        luaL_addstring(&names, any ? ", " : "");
        luaL_addstring(&names, other);
        any = true;
    }
    luaL_pushresult(&names);
    return lua_tostring(L, -1);
}

/* Pushes what to write in place of a name that no material has: "did you mean \"brass\"?". */
static const char *push_material_cure(lua_State *L, const char *name)
{
    const char *which = ll_material_which(name), *family = push_family(L, name);
    bind_nearest nearest = {.wanted = name};
    if (which)
        return lua_pushfstring(L, "it may be %s", which);
    for (size_t i = 0; i < ll_material_row_count(); i++)
        bind_nearest_try(&nearest, ll_material_row_at(i)->name);
    if (*family && strpbrk(name, "0123456789"))
        return lua_pushfstring(L, "there are %s", family);
    if (nearest.name)
        return lua_pushfstring(L, "did you mean \"%s\"?", nearest.name);
    return lua_pushliteral(L, "`lodeloom materials` lists them");
}

/* With what was meant, or what there is to choose from. */
static bool no_such_material(const bind_parser *p, const char *name)
{
    luaL_checkstack(p->L, 12, "too deeply nested");
    bind_mistake(p->L, "%s: there is no material %s; %s", p->place, bind_quoted(p->L, name),
                 push_material_cure(p->L, name));
    return false;
}

static bool parse_material(const bind_parser *p)
{
    lua_State *L = p->L;
    if (lua_type(L, p->value) == LUA_TSTRING) {
        const char *name = lua_tostring(L, p->value);
        if (p->field->words && strcmp(name, p->field->words[0]) == 0)
            return true; /* the word for none */
        if (!bind_push_named_material(L, name))
            return no_such_material(p, name);
        lua_pushvalue(L, -1);
        lua_setfield(L, p->copy, p->field->name);
        lua_replace(L, p->value);
    }
    const bind_material *material = bind_test(L, p->value, &bind_noun_material);
    if (!material)
        return bind_wrong(p, "a material: a name such as \"AlNiCo 5\", or ll.magnet{...}, "
                             "ll.steel{...}, ll.conductor{...}");
    bind_odd_inherit(L, p->copy, p->value);
    if (!material->material)
        return false; /* its own mistake was noted where it was made */
    *(const ll_material **)p->out = material->material;
    return true;
}

/* Splits the pairs of a curve into two columns in SI; the buffers stay on the stack. */
static void split_curve(lua_State *L, bind_list curve, bind_unit h_unit, double **h_a_m,
                        double **b_t)
{
    *h_a_m = bind_buffer(L, curve.count, sizeof **h_a_m);
    *b_t = bind_buffer(L, curve.count, sizeof **b_t);
    for (size_t i = 0; i < curve.count; i++) {
        (*h_a_m)[i] = bind_to_si(h_unit, curve.values[2 * i]);
        (*b_t)[i] = curve.values[2 * i + 1];
    }
}

/* The engine's refusal of a curve, with what the trade wants to know. */
static void settle(lua_State *L, bind_material *box, ll_status status, const char *curve_rule)
{
    if (status == LL_OK)
        return;
    box->head.wrong = true;
    if (status == LL_NO_MEMORY)
        bind_demand(L, status, "material");
    bind_mistake(L, "%s %s", status == LL_BAD_CURVE ? "material: 'curve'" : "material:",
                 status == LL_BAD_CURVE ? curve_rule : ll_status_text(status));
}

/* Two ways to say the same thing must not contradict each other. */
static bool exactly_one(lua_State *L, int copy, const char *a, const char *b)
{
    if (bind_given(L, copy, a) != bind_given(L, copy, b))
        return true;
    bind_mistake(L, "a material is described either by '%s' or by '%s'; give one of them", a, b);
    return false;
}

/* The largest figure of a curve's column, without its sign, against what is usual of it; true when it can be. */
static bool check_column(lua_State *L, int copy, const char *place, const bind_list *curve,
                         size_t column, bind_usual usual)
{
    double largest = 0;
    for (size_t i = 0; i < curve->count; i++)
        largest = fmax(largest, fabs(curve->values[2 * i + column]));
    const bind_plausibility is = bind_judge(usual, largest);
    if (is == IS_USUAL)
        return true;
    const int top = lua_gettop(L);
    lua_pushfstring(L, "'curve' reaches %s = %s; %s%s", column ? "b" : "h", bind_number(L, largest),
                    bind_push_usual(L, usual), bind_push_cure(L, usual, largest));
    if (is == IS_NEVER)
        bind_mistake(L, "%s: %s", place, lua_tostring(L, -1));
    else
        bind_odd(L, copy, place, column ? "curve, b" : "curve, h");
    lua_settop(L, top);
    return is != IS_NEVER;
}

/* Leaves the box, which keeps the fields and their remarks, on the top. */
static int end(lua_State *L)
{
    lua_settop(L, 3);
    lua_setiuservalue(L, 2, 1);
    return 1;
}

/* ll.magnet{...}: linear by its remanence, or curved. */
static int make_magnet(lua_State *L)
{
    magnet_fields m = {.recoil = 1.05};
    lua_settop(L, 1);
    bind_material *box = bind_object_new(L, &bind_noun_material);
    box->head.wrong =
        !bind_parse(L, 1, &magnet_noun, "magnet", &m) || !exactly_one(L, 3, "remanence", "curve");
    double *h_a_m, *b_t;
    if (!box->head.wrong)
        box->head.wrong = !check_column(L, 3, "magnet", &m.curve, 0, USUAL_CURVE_H) ||
                          !check_column(L, 3, "magnet", &m.curve, 1, USUAL_CURVE_B);
    if (!box->head.wrong && m.curve.count) {
        split_curve(L, m.curve, UNIT_KA_M, &h_a_m, &b_t);
        double recoil = bind_given(L, 3, "recoil") ? m.recoil : 0;
        settle(L, box,
               ll_material_magnet_curve(m.curve.count, h_a_m, b_t, recoil, m.conductivity_s_m,
                                        &box->material),
               "needs two points or more in kA/m and T, h rising from -HcB up to 0 and b from 0 up "
               "to the remanence");
    } else if (!box->head.wrong) {
        settle(L, box,
               ll_material_magnet(m.remanence_t, m.recoil, m.conductivity_s_m, &box->material), "");
    }
    return end(L);
}

/* By whichever of the three laws was given. */
static ll_status steel_from(lua_State *L, const steel_fields *s, ll_material **out)
{
    double *h_a_m, *b_t;
    if (s->curve.count) {
        split_curve(L, s->curve, UNIT_A_M, &h_a_m, &b_t);
        return ll_material_steel_curve(s->curve.count, h_a_m, b_t, s->conductivity_s_m, out);
    }
    if (s->saturation_t > 0)
        return ll_material_steel_arctan(s->saturation_t, s->mu_initial, s->conductivity_s_m, out);
    return ll_material_steel(s->mu_r, s->conductivity_s_m, out);
}

/* One law, and all of it. */
static bool check_steel(lua_State *L, int copy)
{
    bool arctangent = bind_given(L, copy, "saturation");
    if (arctangent != bind_given(L, copy, "mu_initial")) {
        bind_mistake(L, "steel: 'saturation' and 'mu_initial' belong together; give both");
        return false;
    }
    if (bind_given(L, copy, "mu_r") + bind_given(L, copy, "curve") + arctangent == 1)
        return true;
    bind_mistake(L, "steel: one law is needed: 'mu_r', or 'curve', or 'saturation' with "
                    "'mu_initial'");
    return false;
}

/* ll.steel{...}. */
static int make_steel(lua_State *L)
{
    steel_fields s = {0};
    lua_settop(L, 1);
    bind_material *box = bind_object_new(L, &bind_noun_material);
    box->head.wrong = !bind_parse(L, 1, &steel_noun, "steel", &s) || !check_steel(L, 3);
    if (!box->head.wrong)
        box->head.wrong = !check_column(L, 3, "steel", &s.curve, 1, USUAL_SATURATION);
    if (!box->head.wrong)
        settle(L, box, steel_from(L, &s, &box->material),
               "needs two points or more in A/m and T, from (0, 0), both rising");
    return end(L);
}

/* ll.conductor{...}: not magnetic, for covers and base plates. */
static int make_conductor(lua_State *L)
{
    double conductivity_s_m = 0;
    lua_settop(L, 1);
    bind_material *box = bind_object_new(L, &bind_noun_material);
    box->head.wrong = !bind_parse(L, 1, &conductor_noun, "conductor", &conductivity_s_m);
    if (!box->head.wrong)
        settle(L, box, ll_material_conductor(conductivity_s_m, &box->material), "");
    return end(L);
}

/* ll.material("AlNiCo 5"): one of the tables, with its figures. */
static int named_material(lua_State *L)
{
    static const bind_field field = {"material", FIELD_NAMED, 0, .meaning = "a name of the tables",
                                     .of = &bind_noun_material};
    static const bind_noun noun = {
        .name = "material", .article = "a material", .fields = &field, .field_count = 1};
    const ll_material *material = NULL;
    lua_settop(L, 1);
    lua_newtable(L);
    lua_pushvalue(L, 1);
    lua_setfield(L, 2, "material");
    if (!bind_parse(L, 2, &noun, "material", (void *)&material)) {
        bind_material *wrong = bind_object_new(L, &bind_noun_material);
        wrong->head.wrong = true;
        return 1;
    }
    lua_getfield(L, -1, "material");
    return 1;
}

/* The material that a method was called on. */
static const ll_material *self(lua_State *L, const char *method)
{
    const bind_material *box = bind_self(L, &bind_noun_material, method);
    if (!box->material)
        bind_raise(L, "%s: this material could not be made", method);
    return box->material;
}

static const bind_column figures_columns[] = {
    {"name", UNIT_NONE, ERROR_NONE, .meaning = "as it is listed, or as the script calls it",
     .text = true},
    {"kind", UNIT_NONE, ERROR_NONE, .meaning = "magnet, steel or conductor", .text = true},
    {"remanence", UNIT_MT, ERROR_NONE,
     .meaning = "flux density that stays without a field; 0 without"},
    {"mu_r", UNIT_NONE, ERROR_NONE, .meaning = "relative permeability; of a magnet, its recoil"},
    {"conductivity", UNIT_S_M, ERROR_NONE, .meaning = "for eddy currents; 0 where none flow"},
};
static const bind_reading figures = {.name = "figures",
                                     .title = "material",
                                     .meaning = "its figures",
                                     .of = &bind_noun_material,
                                     BIND_READING_COLUMNS(figures_columns)};

/* material:figures(): what the engine uses of it. */
static int material_figures(lua_State *L)
{
    static const char *const kinds[] = {"magnet", "steel", "conductor"};
    const ll_material *m = self(L, "figures");
    bind_result t = bind_result_begin(L, &figures);
    bind_row_begin(&t);
    bind_set_text(&t, "name", ll_material_name(m));
    bind_set_text(&t, "kind", kinds[ll_material_kind(m)]);
    bind_set(&t, "remanence_mt", ll_material_remanence_t(m));
    bind_set(&t, "mu_r", ll_material_mu_r(m));
    bind_set(&t, "conductivity_sm", ll_material_conductivity_s_m(m));
    bind_row_end(&t);
    return bind_result_end(&t);
}

/* material:b(h): flux density in T at h in A/m along the axis. */
static int material_b(lua_State *L)
{
    const ll_material *m = self(L, "b");
    double b_t = 0, h_a_m = lua_tonumber(L, 2);
    if (lua_type(L, 2) != LUA_TNUMBER || !isfinite(h_a_m))
        return bind_raise(L, "b: a field strength in A/m was expected, a finite number");
    ll_material_b(m, h_a_m, &b_t, NULL);
    lua_pushnumber(L, b_t);
    return 1;
}

/* By its name. */
static int material_tostring(lua_State *L)
{
    const bind_material *box = lua_touserdata(L, 1);
    lua_pushstring(L, box->material ? ll_material_name(box->material) : "material");
    return 1;
}

/* Runs at collection, and may run again. */
static int material_clear(lua_State *L)
{
    bind_material *box = lua_touserdata(L, 1);
    ll_material_free(box->material);
    box->material = NULL;
    return 0;
}

/* A figure of a row of the tables. */
static void set_number(lua_State *L, const char *key, double value)
{
    if (value == 0) /* the tables' word for unknown, or for what does not apply */
        return;
    lua_pushnumber(L, value);
    lua_setfield(L, -2, key);
}

/* A text of a row of the tables. */
static void set_text(lua_State *L, const char *key, const char *text)
{
    lua_pushstring(L, text);
    lua_setfield(L, -2, key);
}

/* The rows of the tables as plain Lua tables, for the listing that is made in Lua. */
static int material_rows(lua_State *L)
{
    lua_newtable(L);
    for (size_t i = 0; i < ll_material_row_count(); i++) {
        const ll_material_row *row = ll_material_row_at(i);
        lua_newtable(L);
        set_text(L, "name", row->name);
        set_text(L, "group", row->group);
        set_number(L, "remanence_mt", bind_from_si(UNIT_MT, row->remanence_t));
        set_number(L, "coercivity_kam", bind_from_si(UNIT_KA_M, row->coercivity_a_m));
        set_number(L, "mu_r", row->mu_r);
        set_number(L, "saturation_t", row->saturation_t);
        set_number(L, "conductivity_sm", row->conductivity_s_m);
        set_number(L, "density_kg_m3", row->density_kg_m3);
        set_number(L, "remanence_per_k", row->remanence_per_k);
        set_text(L, "source", row->source);
        set_text(L, "note", row->note);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    return 1;
}

/* core.material_meant(name): the row's name in the tables; or nil, and what there is to choose from. */
static int material_meant(lua_State *L)
{
    const char *name = luaL_checkstring(L, 1);
    if (bind_push_named_material(L, name)) {
        const bind_material *box = lua_touserdata(L, -1);
        lua_pushstring(L, ll_material_name(box->material));
        return 1;
    }
    const char *cure = push_material_cure(L, name);
    lua_pushnil(L);
    lua_pushstring(L, cure);
    return 2;
}

void bind_open_material(lua_State *L)
{
    static const luaL_Reg methods[] = {
        {"figures", material_figures}, {"b", material_b}, {NULL, NULL}};
    static const luaL_Reg functions[] = {{"magnet", make_magnet},
                                         {"steel", make_steel},
                                         {"conductor", make_conductor},
                                         {"material", named_material},
                                         {NULL, NULL}};
    bind_object_register(L, &bind_noun_material, methods, material_clear);
    bind_offer_reading(L, &figures);
    luaL_getmetatable(L, bind_noun_material.type);
    lua_pushcfunction(L, material_tostring);
    lua_setfield(L, -2, "__tostring");
    lua_pop(L, 1);
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &magnet_noun);
    bind_offer_fields(L, &steel_noun);
    bind_offer_fields(L, &conductor_noun);
    bind_core_function(L, "material_rows", material_rows);
    bind_core_function(L, "material_meant", material_meant);
}
