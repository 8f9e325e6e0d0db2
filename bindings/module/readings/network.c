/* network.c - a described network as the engine solves it, its pickups measured.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/readings/network.h"
#include "module/base/fault.h"
#include "module/readings/query.h"

/* A pickup is one coil with the figures that `winding` and `impedance` give, and their mesh error becomes the network's; pushes what
 * keeps its rows. */
static void describe_pickup(const bind_query *asked, bind_network *network, bind_pickup *pickup,
                            ll_network_coil *out)
{
    lua_State *L = asked->L;
    bind_result t = {.L = L, .error = bind_no_mesh_error};
    const bind_query r = {.L = L,
                          .pickup = pickup,
                          .t = &t,
                          .fine = true,
                          .place = pickup->name ? lua_pushfstring(L, "%s: pickup %s", asked->place,
                                                                  bind_quoted(L, pickup->name))
                                                : lua_pushfstring(L, "%s: pickup", asked->place)};
    bind_ask_lumped(&r, out);
    bind_mesh_error_add(&network->error, &t.error);
}

/* Pushes what keeps its rows. */
static void describe_lumped(lua_State *L, const bind_lumped *lumped, ll_network_coil *out)
{
    ll_coil_row *rows = bind_buffer(L, lumped->rows.count, sizeof *rows);
    for (size_t i = 0; i < lumped->rows.count; i++) {
        const double *values = lumped->rows.values + 3 * i;
        rows[i] = (ll_coil_row){values[0], values[1], values[2]};
    }
    out->rows = rows;
    out->row_count = lumped->rows.count;
    out->c_f = lumped->c_f;
}

static ll_controls controls_of(const bind_network *network)
{
    return (ll_controls){
        .volume = {network->volume_ohm, network->volume_turn, (ll_taper)network->volume_taper},
        .tone = {network->tone_ohm, network->tone_turn, (ll_taper)network->tone_taper},
        .tone_cap_f = network->tone_cap_f,
        .tone_at_wiper = network->tone_at == 1,
        .bleed_f = network->bleed.c_f,
        .bleed_ohm = network->bleed.r_ohm,
        .bleed_in_series = network->bleed.wiring == 1};
}

/* A network flat: all coils, and the groups that they stand in. */
typedef struct wiring {
    ll_network_coil coils[LL_NETWORK_COILS];
    ll_network_group groups[LL_NETWORK_GROUPS];
    size_t coil_count, group_count;
} wiring;

static bool flag_of(const bind_flags *flags, size_t i)
{
    return flags->count > 0 && flags->values[i];
}

/* Coil i of a network. Leads that are swapped twice are not swapped. */
static void add_coil(const bind_query *r, bind_network *whole, const bind_network *network,
                     size_t i, size_t group, bool reversed, wiring *w)
{
    const bind_network_coil *coil = &network->coils[i];
    ll_network_coil *out = &w->coils[w->coil_count++];
    out->reversed = reversed;
    out->bypassed = flag_of(&network->bypassed, i);
    out->tap = network->tapped.count > 0 ? network->tapped.values[i] : 1;
    out->group = group;
    if (coil->pickup)
        describe_pickup(r, whole, coil->pickup, out);
    else
        describe_lumped(r->L, coil->lumped, out);
}

/* The members of a network, which is group number `group`; networks hold only what was made before them. */
static void add_members(const bind_query *r, bind_network *whole, const bind_network *network,
                        size_t group, bool reversed, wiring *w)
{
    for (size_t i = 0; i < network->from.count; i++) {
        const bind_network *inner = network->coils[i].network;
        const bool turned = reversed != flag_of(&network->reversed, i);
        if (!inner) {
            add_coil(r, whole, network, i, group, turned, w);
            continue;
        }
        w->groups[w->group_count++] = (ll_network_group){.within = group,
                                                         .wiring = (ll_wiring)inner->wiring,
                                                         .coupling = inner->coupling,
                                                         .controls = controls_of(inner)};
        add_members(r, whole, inner, w->group_count, turned, w);
    }
}

static ll_network_spec spec_of(const bind_network *network, const wiring *w)
{
    const ll_controls c = controls_of(network);
    return (ll_network_spec){.coil_count = w->coil_count,
                             .coils = w->coils,
                             .group_count = w->group_count,
                             .groups = w->groups,
                             .wiring = (ll_wiring)network->wiring,
                             .coupling = network->coupling,
                             .volume = c.volume,
                             .tone = c.tone,
                             .tone_cap_f = c.tone_cap_f,
                             .tone_at_wiper = c.tone_at_wiper,
                             .bleed_f = c.bleed_f,
                             .bleed_ohm = c.bleed_ohm,
                             .bleed_in_series = c.bleed_in_series,
                             .cable_f = network->cable_f + network->cable_m * network->cable_f_m,
                             .input_ohm = network->input_ohm,
                             .input_f = network->input_f};
}

static void build(const bind_query *r, bind_network *network)
{
    lua_State *L = r->L;
    const int top = lua_gettop(L);
    luaL_checkstack(L, 8 * LL_NETWORK_COILS, "too deeply nested");
    wiring w = {0};
    network->error = bind_no_mesh_error;
    add_members(r, network, network, 0, false, &w);
    const ll_network_spec spec = spec_of(network, &w);
    bind_demand(L, ll_network_new(&spec, &network->network), r->place);
    lua_settop(L, top);
}

const ll_network *bind_ask_network(const bind_query *r, bind_network *network)
{
    if (network->head.wrong)
        return NULL;
    if (!network->network)
        build(r, network);
    bind_mesh_error_add(&r->t->error, &network->error);
    return network->network;
}
