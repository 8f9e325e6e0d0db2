/* reader.c - the engine as readings see it: solved once, when first asked.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fault.h"
#include "output.h"
#include "pickup.h"
#include "settings.h"

bind_reader bind_begin_reading(lua_State *L, const char *name)
{
    bind_reader r = {.L = L, .pickup = bind_self(L, &bind_noun_pickup, name)};
    lua_settop(L, 2);
    r.place = r.pickup->name
                  ? lua_pushfstring(L, "pickup %s: %s", bind_quoted(L, r.pickup->name), name)
                  : lua_pushfstring(L, "pickup: %s", name);
    return r;
}

bool bind_reading_options(const bind_reader *r, const bind_noun *noun, void *out)
{
    if (lua_isnil(r->L, 2)) {
        lua_newtable(r->L);
        lua_replace(r->L, 2);
    }
    return bind_read(r->L, 2, noun, r->place, out);
}

/* What the engine calls while it works. */
static bool tell(void *context, double share_done)
{
    lua_State *L = context;
    const bind_settings *settings = bind_settings_of(L);
    bind_show_progress(L, "solving", share_done);
    return !settings->go_on || settings->go_on();
}

/* True when the engine may be asked; false in a check, where the caller answers with placeholders. */
static bool solved(const bind_reader *r)
{
    lua_State *L = r->L;
    bind_settings *settings = bind_settings_of(L);
    if (settings->dry) {
        settings->dry_values_used = true;
        return false;
    }
    if (r->pickup->solution)
        return true;
    if (!r->pickup->scene)
        bind_raise(L, "%s: the pickup was closed", r->place);
    lua_gc(L, LUA_GCCOLLECT); /* earlier pickups hold memory that Lua does not see */
    const ll_progress progress = {tell, L};
    const ll_solve_options options = {.memory_limit_bytes = settings->memory_limit_bytes,
                                      .progress = &progress};
    ll_status status = ll_solve(r->pickup->scene, &options, &r->pickup->solution);
    bind_show_progress(L, NULL, 1);
    bind_demand(L, status, r->place);
    return true;
}

void bind_ask_b(const bind_reader *r, size_t n, const ll_vec3 *points_m, ll_vec3 *b_t)
{
    if (solved(r)) {
        bind_demand(r->L, ll_solution_b(r->pickup->solution, n, points_m, b_t), r->place);
        return;
    }
    for (size_t i = 0; i < n; i++)
        b_t[i] = ll_vec(0, 0, 0.05); /* as if it were a pole's end */
}

double bind_ask_section_bz(const bind_reader *r, size_t part, double z_m)
{
    double bz_t = 0.1;
    if (!solved(r))
        return bz_t;
    ll_status status = ll_solution_section_bz(r->pickup->solution, part, z_m, &bz_t);
    if (status == LL_OUTSIDE_PART)
        bind_raise(r->L, "%s: the plane z = %s does not cut %s", r->place,
                   bind_quantity(r->L, UNIT_MM, z_m), bind_part_label(r->L, r->pickup, part));
    bind_demand(r->L, status, r->place);
    return bz_t;
}

double bind_ask_inductance(const bind_reader *r, size_t i, size_t j)
{
    double l_h = i == j ? 2.5 : 0.2;
    if (solved(r))
        bind_demand(r->L, ll_solution_inductance(r->pickup->solution, i, j, &l_h), r->place);
    return l_h;
}

void bind_ask_linkage(const bind_reader *r, size_t coil, const ll_string *string, double factor,
                      size_t n, const double *x_m, const double *z_m, double *sum_wb)
{
    lua_State *L = r->L;
    if (!solved(r))
        return;
    double *linkage_wb = bind_buffer(L, n, sizeof *linkage_wb);
    bind_demand(L, ll_string_linkage(r->pickup->solution, coil, string, n, x_m, z_m, linkage_wb),
                r->place);
    for (size_t i = 0; i < n; i++)
        sum_wb[i] += factor * linkage_wb[i];
    lua_pop(L, 1);
}

void bind_ask_gradient(const bind_reader *r, size_t coil, const ll_string *string, double *dz_wb_m,
                       double *dx_wb_m)
{
    if (solved(r)) {
        bind_demand(r->L, ll_string_gradient(r->pickup->solution, coil, string, dz_wb_m, dx_wb_m),
                    r->place);
        return;
    }
    *dz_wb_m = -0.1;
    *dx_wb_m = -0.01;
}

void bind_need_coil(const bind_reader *r)
{
    if (r->pickup->coils.count == 0 && !r->pickup->head.wrong)
        bind_raise(r->L,
                   "%s: it needs a coil and the pickup has none; add coils = { ll.coil{...} }",
                   r->place);
}

/* Seen from the strings, counter-clockwise counts B along +z positive. */
static double hand_sign(const bind_coil *coil)
{
    return coil->hand == BIND_CCW ? 1 : -1;
}

/* The finish is hot by custom. */
static double lead_sign(const bind_coil *coil)
{
    return coil->hot == BIND_HOT_FINISH ? 1 : -1;
}

double bind_coil_sign(const bind_pickup *pickup, size_t i)
{
    const bind_coil *coil = bind_pickup_coil(pickup, i);
    return hand_sign(coil) * lead_sign(coil) * bind_hot_sign(pickup);
}

double bind_hot_sign(const bind_pickup *pickup)
{
    return pickup->coils.count ? lead_sign(bind_pickup_coil(pickup, 0)) : 1;
}
