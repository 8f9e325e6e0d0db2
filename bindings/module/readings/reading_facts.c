/* reading_facts.c - how the pickup's solution was reached.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/readings/query.h"

/* pickup:facts(): the size of the solution and what it took. */
static int facts_reading(const bind_query *r, const void *said)
{
    ll_solve_facts facts = {0};
    const ll_solution *solution = bind_ask_solution(r);
    (void)said;
    if (solution)
        facts = ll_solution_facts(solution);
    bind_row_begin(r->t);
    bind_set(r->t, "bodies", (double)facts.bodies);
    bind_set(r->t, "triangles", (double)facts.triangles);
    bind_set(r->t, "unknowns", (double)facts.unknowns);
    bind_set(r->t, "newton_steps", (double)facts.newton_steps);
    bind_set(r->t, "iterations", (double)facts.iterations);
    bind_set(r->t, "memory_mb", (double)facts.memory_bytes / 1e6);
    bind_set(r->t, "solve_s", facts.seconds);
    bind_row_end(r->t);
    return bind_result_end(r->t);
}

static const bind_column facts_columns[] = {
    {"bodies", UNIT_NONE, ERROR_COUNTED, .meaning = "bodies that the parts made"},
    {"triangles", UNIT_NONE, ERROR_COUNTED, .meaning = "of their surfaces"},
    {"unknowns", UNIT_NONE, ERROR_COUNTED, .meaning = "that were solved for"},
    {"newton_steps", UNIT_NONE, ERROR_COUNTED,
     .meaning = "steps of Newton's method for bent curves"},
    {"iterations", UNIT_NONE, ERROR_COUNTED, .meaning = "steps of the linear solver, all together"},
    {"memory_mb", UNIT_NONE, ERROR_COUNTED, .meaning = "memory of the solution in megabytes"},
    {"solve", UNIT_S, ERROR_COUNTED, .meaning = "time that it took"},
};
const bind_reading bind_reading_facts = {
    BIND_READING_NAME("facts", "a look at the facts"),
    .meaning = "how large the solution was and what it took", .of = &bind_noun_pickup,
    BIND_READING_COLUMNS(facts_columns), .read = facts_reading};
