/* network.c - a described network as the engine solves it, its pickups measured.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/readings/network.h"
#include "module/base/fault.h"
#include "module/readings/query.h"

/* A pickup is one coil with the figures that `winding` and `impedance` give; pushes what keeps its rows. */
static void describe_pickup(lua_State *L, bind_pickup *pickup, const char *place,
                            ll_network_coil *out)
{
    const bind_query r = {
        L, pickup,
        pickup->name ? lua_pushfstring(L, "%s: pickup %s", place, bind_quoted(L, pickup->name))
                     : lua_pushfstring(L, "%s: pickup", place)};
    bind_ask_lumped(&r, out);
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

static void describe_coil(lua_State *L, const bind_network *network, size_t i, const char *place,
                          ll_network_coil *out)
{
    const bind_network_coil *coil = &network->coils[i];
    out->reversed = network->reversed.count > 0 && network->reversed.values[i];
    out->tap = network->tapped.count > 0 ? network->tapped.values[i] : 1;
    if (coil->pickup)
        describe_pickup(L, coil->pickup, place, out);
    else
        describe_lumped(L, coil->lumped, out);
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

/* The mesh error of the result under way is kept out of it. */
static void build(lua_State *L, bind_network *network, const char *place)
{
    int top = lua_gettop(L);
    const bind_mesh_error around = bind_mesh_error_take(L);
    luaL_checkstack(L, 8 * LL_NETWORK_COILS, "too deeply nested");
    ll_network_coil coils[LL_NETWORK_COILS] = {{0}};
    ll_network_spec spec = describe_controls(network);
    spec.coils = coils;
    for (size_t i = 0; i < network->from.count; i++)
        describe_coil(L, network, i, place, &coils[i]);
    bind_demand(L, ll_network_new(&spec, &network->network), place);
    lua_settop(L, top);
    network->error = bind_mesh_error_take(L);
    bind_mesh_error_again(L, &around);
}

const ll_network *bind_ask_network(lua_State *L, bind_network *network, const char *place)
{
    if (!network->network && !network->head.wrong)
        build(L, network, place);
    if (network->network)
        bind_mesh_error_again(L, &network->error);
    return network->network;
}
