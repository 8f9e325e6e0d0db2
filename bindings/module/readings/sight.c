/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/readings/sight.h"

/* The engine's metres on the way to a picture. */
static double mm(double metres)
{
    return bind_from_si(UNIT_MM, metres);
}

/* The prisms of a shape, about its own middle. */
static void shape_prisms(const ll_shape *shape, picture_solid *solid)
{
    double half = mm(shape->size_m.z) / 2, across = 2 * mm(shape->radius_m);
    double under_head = half - mm(shape->head_height_m);
    solid->prisms = shape->kind == LL_RING || shape->kind == LL_SCREW ? 2 : 1;
    switch (shape->kind) {
    case LL_BLOCK:
        solid->prism[0] =
            picture_rectangle(mm(shape->size_m.x), mm(shape->size_m.y), 0, -half, half);
        break;
    case LL_SCREW:
        solid->prism[0] = picture_circle(across, -half, under_head);
        solid->prism[1] = picture_circle(2 * mm(shape->head_radius_m), under_head, half);
        break;
    default:
        solid->prism[0] = picture_circle(across, -half, half);
        if (shape->kind == LL_RING) {
            solid->prism[1] = picture_circle(2 * mm(shape->inner_radius_m), -half, half);
            solid->prism[1].hole = true;
        }
    }
}

/* The winding: a racetrack with its hole, both with round corners; the outer radius is larger by the build. */
static void coil_prisms(const ll_coil_shape *coil, picture_solid *solid)
{
    double half = mm(coil->height_m) / 2, build = mm(coil->build_m);
    double x = mm(coil->opening_x_m), y = mm(coil->opening_y_m), corner = mm(coil->corner_m);
    solid->prisms = 2;
    solid->prism[0] = picture_rectangle(x + 2 * build, y + 2 * build, corner + build, -half, half);
    solid->prism[1] = picture_rectangle(x, y, corner, -half, half);
    solid->prism[1].hole = true;
}

/* The frame in which the prisms stand. */
static void place(const ll_pose *pose, picture_solid *solid)
{
    solid->rotation = pose->rotation;
    solid->origin_mm = ll_vec(mm(pose->origin_m.x), mm(pose->origin_m.y), mm(pose->origin_m.z));
}

/* Pushes "rod 5 x 18". */
static const char *push_size(lua_State *L, const ll_shape *shape)
{
    const char *length = bind_number(L, mm(shape->size_m.z));
    const char *across = bind_number(L, 2 * mm(shape->radius_m));
    switch (shape->kind) {
    case LL_BLOCK:
        return lua_pushfstring(L, "block %s \xc3\x97 %s \xc3\x97 %s",
                               bind_number(L, mm(shape->size_m.x)),
                               bind_number(L, mm(shape->size_m.y)), length);
    case LL_RING:
        return lua_pushfstring(L, "ring %s, hole %s, length %s", across,
                               bind_number(L, 2 * mm(shape->inner_radius_m)), length);
    case LL_SCREW:
        return lua_pushfstring(L, "screw %s \xc3\x97 %s, head %s \xc3\x97 %s", across, length,
                               bind_number(L, 2 * mm(shape->head_radius_m)),
                               bind_number(L, mm(shape->head_height_m)));
    default:
        return lua_pushfstring(L, "rod %s \xc3\x97 %s", across, length);
    }
}

/* Pushes ", 60 % charged" for a magnet that is not full. */
static const char *push_charge(lua_State *L, const bind_part *part, bool magnet)
{
    if (!magnet || part->charge >= 1)
        return lua_pushliteral(L, "");
    return lua_pushfstring(L, ", charge %s", bind_number(L, part->charge));
}

/* Pushes its own name, or what it is with its number. */
static const char *push_name(lua_State *L, const char *name, const char *what, size_t i)
{
    return name ? lua_pushstring(L, name) : lua_pushfstring(L, "%s %I", what, (lua_Integer)i + 1);
}

/* Moves the text on the top into the list at `keep`, which keeps it alive, and drops what else is above the list. */
static const char *kept(lua_State *L, int keep)
{
    const char *text = lua_tostring(L, -1);
    lua_rawseti(L, keep, (lua_Integer)lua_rawlen(L, keep) + 1);
    lua_settop(L, keep);
    return text;
}

/* What the colours of a drawing tell apart. */
static picture_stuff stuff_of(const ll_material *material)
{
    switch (ll_material_kind(material)) {
    case LL_MAGNET:
        return PICTURE_MAGNET;
    case LL_STEEL:
        return PICTURE_STEEL;
    default:
        return PICTURE_METAL;
    }
}

/* Shape, place, stuff and words of part i; a negative charge turns the faces round. */
static void read_part(lua_State *L, int keep, const bind_pickup *pickup, size_t i,
                      picture_solid *solid)
{
    const bind_part *part = bind_pickup_part(pickup, i);
    shape_prisms(&part->shape, solid);
    place(&part->pose, solid);
    solid->stuff = stuff_of(part->material);
    if (ll_norm(part->north) > 0)
        solid->north = ll_scale((part->charge < 0 ? -1 : 1) / ll_norm(part->north), part->north);
    push_name(L, part->name, "part", i);
    solid->name = kept(L, keep);
    const char *size = push_size(L, &part->shape);
    const char *charge = push_charge(L, part, solid->stuff == PICTURE_MAGNET);
    lua_pushfstring(L, "%s, %s%s", size, ll_material_name(part->material), charge);
    solid->words = kept(L, keep);
}

/* Pushes " of AWG 42", or nothing. */
static const char *push_wire(lua_State *L, const bind_wire *wire)
{
    if (!wire)
        return lua_pushliteral(L, "");
    if (wire->gauge > 0)
        return lua_pushfstring(L, " of AWG %s", bind_number(L, wire->gauge));
    return lua_pushfstring(L, " of %s wire", bind_quantity(L, UNIT_MM, wire->bare_m));
}

/* Shape, place and words of coil i. */
static void read_coil(lua_State *L, int keep, const bind_pickup *pickup, size_t i,
                      picture_solid *solid)
{
    const bind_coil *coil = bind_pickup_coil(pickup, i);
    coil_prisms(&coil->shape, solid);
    place(&coil->pose, solid);
    solid->stuff = PICTURE_WINDING;
    push_name(L, coil->name, "coil", i);
    solid->name = kept(L, keep);
    const char *turns = bind_number(L, coil->turns), *wire = push_wire(L, coil->wire);
    const char *x = bind_number(L, mm(coil->opening_m[0])),
               *y = bind_number(L, mm(coil->opening_m[1]));
    lua_pushfstring(L, "%s turns%s, opening %s \xc3\x97 %s, build %s, height %s, %s", turns, wire,
                    x, y, bind_number(L, mm(coil->build_m)), bind_number(L, mm(coil->height_m)),
                    coil->hand == BIND_CW ? "cw" : "ccw");
    solid->words = kept(L, keep);
}

/* The same poles as readings and strings count from. */
static void mark_poles(lua_State *L, const bind_pickup *pickup, picture_solid *solids)
{
    size_t *poles = bind_buffer(L, pickup->parts.count, sizeof *poles);
    size_t count = bind_poles(pickup, poles);
    for (size_t i = 0; i < count; i++)
        solids[poles[i]].pole = true;
    lua_pop(L, 1);
}

const picture_solid *bind_push_solids(lua_State *L, const bind_pickup *pickup, size_t *count)
{
    *count = pickup->head.wrong ? 0 : pickup->parts.count + pickup->coils.count;
    luaL_checkstack(L, 20, "too deeply nested");
    picture_solid *solids = bind_buffer(L, *count, sizeof *solids);
    lua_newtable(L); /* stays above the buffer, with the texts */
    int keep = lua_gettop(L);
    for (size_t i = 0; i < *count; i++) {
        if (i < pickup->parts.count)
            read_part(L, keep, pickup, i, &solids[i]);
        else
            read_coil(L, keep, pickup, i - pickup->parts.count, &solids[i]);
    }
    if (*count > 0)
        mark_poles(L, pickup, solids);
    return solids;
}
