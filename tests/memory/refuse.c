/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "refuse.h"
#include "base/cache.h"
#include "check.h"
#include "failing.h"

#include <stdlib.h>
#include <string.h>

/* Calls of one place that are tried. */
typedef struct calls_of_place {
    const void *place;
    size_t first, second, last, count;
} calls_of_place;

typedef struct plan {
    calls_of_place *of;
    size_t places, calls;
    double values[JOB_VALUES]; /* when nothing is refused */
    size_t held;
} plan;

static calls_of_place *find(plan *p, const void *place)
{
    for (size_t i = 0; i < p->places; i++)
        if (p->of[i].place == place)
            return &p->of[i];
    p->of[p->places] = (calls_of_place){.place = place};
    return &p->of[p->places++];
}

static void list_calls(plan *p)
{
    p->of = calloc(p->calls, sizeof *p->of);
    assert_non_null(p->of);
    for (size_t call = 0; call < p->calls; call++) {
        calls_of_place *of = find(p, failing_place(call));
        if (of->count == 0)
            of->first = call;
        if (of->count == 1)
            of->second = call;
        of->last = call;
        of->count++;
    }
}

/* What is made once and kept for good is made before. */
static plan measure(job do_it, void *context)
{
    plan p = {0};
    for (int turn = 0; turn < 2; turn++) {
        ll_cache_empty();
        p.held = failing_held();
        failing_begin(SIZE_MAX, false);
        assert_ok(do_it(context, p.values));
        p.calls = failing_end();
    }
    ll_cache_empty();
    assert_int_equal(failing_held(), p.held);
    assert_true(p.calls > 0);
    return p;
}

static void try(const plan *p, job do_it, void *context, double tolerance, size_t call, bool on)
{
    double values[JOB_VALUES] = {0}, again[JOB_VALUES];
    ll_cache_empty();
    failing_begin(call, on);
    const ll_status status = do_it(context, values);
    failing_end();
    ll_cache_empty();
    bool fine = status == LL_NO_MEMORY || status == LL_OK;
    if (failing_held() < p->held) /* what was kept to serve again is made again */
        assert_ok(do_it(context, again));
    ll_cache_empty();
    for (int k = 0; status == LL_OK && k < JOB_VALUES; k++)
        fine = fine && fabs(values[k] - p->values[k]) <= tolerance * fabs(p->values[k]);
    if (fine && failing_held() == p->held)
        return;
    const ptrdiff_t place = (const char *)failing_place(call) - (const char *)(intptr_t)refuse_each;
    print_error(
        "call %zu of %zu refused%s, refuse_each%+td: %s, %zd pieces of memory left behind\n", call,
        p->calls, on ? " and all after it" : "", place, ll_status_text(status),
        (ptrdiff_t)(failing_held() - p->held));
    fail();
}

void refuse_each(job do_it, void *context, double tolerance)
{
    plan p = measure(do_it, context);
    list_calls(&p);
    p.held = failing_held();
    for (size_t i = 0; i < p.places; i++) {
        const calls_of_place *of = &p.of[i];
        try(&p, do_it, context, tolerance, of->first, true);
        try(&p, do_it, context, tolerance, of->first, false);
        if (of->count > 1)
            try(&p, do_it, context, tolerance, of->second, false);
        if (of->count > 2)
            try(&p, do_it, context, tolerance, of->last, false);
    }
    free(p.of);
}
