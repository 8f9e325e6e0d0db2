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

static void describe_coil(const bind_query *r, bind_network *network, size_t i,
                          ll_network_coil *out)
{
    const bind_network_coil *coil = &network->coils[i];
    out->reversed = network->reversed.count > 0 && network->reversed.values[i];
    out->tap = network->tapped.count > 0 ? network->tapped.values[i] : 1;
    if (coil->pickup)
        describe_pickup(r, network, coil->pickup, out);
    else
        describe_lumped(r->L, coil->lumped, out);
}

static ll_network_spec describe_controls(const bind_network *network)
{
    return (ll_network_spec){
        .coil_count = network->from.count,
        .wiring = (ll_wiring)network->wiring,
        .coupling = network->coupling,
        .volume = {network->volume_ohm, network->volume_turn, (ll_taper)network->volume_taper},
        .tone = {network->tone_ohm, network->tone_turn, (ll_taper)network->tone_taper},
        .tone_cap_f = network->tone_cap_f,
        .tone_at_wiper = network->tone_at == 1,
        .bleed_f = network->bleed.c_f,
        .bleed_ohm = network->bleed.r_ohm,
        .bleed_in_series = network->bleed.wiring == 1,
        .cable_f = network->cable_f + network->cable_m * network->cable_f_m,
        .input_ohm = network->input_ohm,
        .input_f = network->input_f};
}

static void build(const bind_query *r, bind_network *network)
{
    lua_State *L = r->L;
    const int top = lua_gettop(L);
    luaL_checkstack(L, 8 * LL_NETWORK_COILS, "too deeply nested");
    ll_network_coil coils[LL_NETWORK_COILS] = {{0}};
    ll_network_spec spec = describe_controls(network);
    spec.coils = coils;
    network->error = bind_no_mesh_error;
    for (size_t i = 0; i < network->from.count; i++)
        describe_coil(r, network, i, &coils[i]);
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
