/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/past_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void free_past(void *thing)
{
    ll_past *past = thing;
    free(past->place_m);
    free(past->turns);
    free(past);
}

static ll_status past_new(size_t places, double coercivity_a_m, ll_past **out)
{
    ll_past *past = calloc(1, sizeof *past);
    if (!past)
        return LL_NO_MEMORY;
    ll_shared_begin(&past->shared, free_past);
    past->coercivity_a_m = coercivity_a_m;
    past->places = places;
    past->place_m = calloc(places, sizeof *past->place_m);
    past->turns = calloc(places, sizeof *past->turns);
    if (!past->place_m || !past->turns) {
        ll_release(past);
        return LL_NO_MEMORY;
    }
    *out = past;
    return LL_OK;
}

ll_status ll_past_virgin(double coercivity_a_m, ll_past **out)
{
    if (!(coercivity_a_m >= 0 && isfinite(coercivity_a_m)))
        return LL_BAD_VALUE;
    return past_new(1, coercivity_a_m, out);
}

ll_status ll_past_full(double coercivity_a_m, ll_past **out)
{
    ll_past *past;
    const ll_status status = ll_past_virgin(coercivity_a_m, &past);
    if (status)
        return status;
    past->turns[0] = (ll_turns){1, {HUGE_VAL}};
    *out = past;
    return LL_OK;
}

void ll_past_free(ll_past *past)
{
    ll_release(past);
}

/* ---- from a past to a body and back ---- */

/* A place of a body in the frame of its part. */
static ll_vec3 in_part(const ll_form_body *body, const ll_pose *pose, size_t place)
{
    const ll_body_form *form = body->placed.form;
    return ll_to_own(pose, ll_to_world(&body->placed.pose, form->place_m[place]));
}

ll_status ll_past_enter(const ll_past *past, const ll_pose *pose, ll_form_body *body)
{
    const size_t n = body->placed.form->places;
    body->turns = malloc(n * sizeof *body->turns);
    if (!body->turns)
        return LL_NO_MEMORY;
    const ll_status status =
        ll_hysteresis_new(body->region.material, past->coercivity_a_m, &body->loop);
    if (status)
        return status;
    body->region.linear = false;
    body->region.charged_alone = false;
    if (past->places == 1 && past->turns[0].n == 0)
        body->start_h_a_m = 0;
#pragma omp parallel for schedule(static)
    for (size_t i = 0; i < n; i++)
        body->turns[i] =
            past->turns[ll_nearest_place(past->places, past->place_m, in_part(body, pose, i))];
    return LL_OK;
}

ll_status ll_past_leave(const ll_form_body *body, const ll_pose *pose, const double *h,
                        ll_past **out)
{
    const size_t n = body->placed.form->places;
    ll_past *past;
    const ll_status status = past_new(n, ll_hysteresis_coercivity_a_m(body->loop), &past);
    if (status)
        return status;
    for (size_t i = 0; i < n; i++) {
        past->place_m[i] = in_part(body, pose, i);
        past->turns[i] = body->turns[i];
        ll_hysteresis_turn(body->loop, &past->turns[i], ll_form_body_along(body, h, i));
    }
    *out = past;
    return LL_OK;
}
