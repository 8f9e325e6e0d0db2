/* readings.c - the list of a pickup's readings, and how its solution was reached.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/fault.h"
#include "module/base/rows.h"
#include "module/readings/query.h"
#include "module/readings/tuning.h"

/* pickup:facts(): the size of the solution and what it took. */
int bind_reading_facts(lua_State *L)
{
    bind_query r = bind_begin_reading(L, "facts");
    ll_solve_facts facts = {0};
    const ll_solution *solution = bind_ask_solution(&r);
    if (solution)
        facts = ll_solution_facts(solution);
    bind_result_begin(L);
    bind_row_begin(L);
    bind_set(L, "bodies", (double)facts.bodies);
    bind_set(L, "triangles", (double)facts.triangles);
    bind_set(L, "unknowns", (double)facts.unknowns);
    bind_set(L, "newton_steps", (double)facts.newton_steps);
    bind_set(L, "iterations", (double)facts.iterations);
    bind_set(L, "memory_mb", (double)facts.memory_bytes / 1e6);
    bind_set(L, "solve_s", facts.seconds);
    bind_row_end(L);
    return bind_result_end(L, "bodies triangles unknowns newton_steps iterations memory_mb solve_s",
                           "facts");
}

const luaL_Reg bind_pickup_readings[] = {
    {"field", bind_reading_field},
    {"section", bind_reading_section},
    {"poles", bind_reading_poles},
    {"operating", bind_reading_operating},
    {"winding", bind_reading_winding},
    {"impedance", bind_reading_impedance},
    {"sensitivity", bind_reading_sensitivity},
    {"linkage", bind_reading_linkage},
    {"transfer", bind_reading_transfer},
    {"hum", bind_reading_hum},
    {"screwdriver", bind_reading_screwdriver},
    {"map", bind_reading_map},
    {"draw", bind_reading_draw},
    {"crosstalk", bind_reading_crosstalk},
    {"pull", bind_reading_pull},
    {"output", bind_reading_output},
    {"listen", bind_reading_listen},
    {"microphony", bind_reading_microphony},
    {"facts", bind_reading_facts},
    {NULL, NULL},
};

void bind_offer_readings(lua_State *L)
{
    static const bind_noun *const nouns[] = {
        &bind_section_noun,   &bind_poles_noun,       &bind_operating_noun, &bind_winding_noun,
        &bind_impedance_noun, &bind_sensitivity_noun, &bind_transfer_noun,  &bind_hum_noun,
        &bind_linkage_noun,   &bind_draw_noun,        &bind_map_noun,       &bind_crosstalk_noun,
        &bind_pull_noun,      &bind_output_noun,      &bind_listen_noun,    &bind_microphony_noun,
        &bind_pluck_noun,
    };
    for (size_t i = 0; i < sizeof nouns / sizeof *nouns; i++)
        bind_offer_fields(L, nouns[i]);
}
