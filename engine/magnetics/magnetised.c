/* What is read of a solution whose magnets follow a past.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "magnetics/past_data.h"
#include "magnetics/solution_data.h"

#include <math.h>
#include <stdlib.h>

/* The body of a part that has a past, and h[3][places] there, which the caller frees; LL_NO_PART, LL_NO_MEMORY. */
static ll_status field_within(const ll_solution *s, size_t part, const ll_form_body **body,
                              double **h)
{
    if (part >= s->scene->parts || !s->forms || !ll_form_solution_has(s->forms, part))
        return LL_NO_PART;
    const ll_form_system *system = s->forms->system;
    const size_t b = s->forms->body_of[part];
    const ll_body_form *form = system->body[b].placed.form;
    if (!system->body[b].turns)
        return LL_NO_PART;
    double *field = malloc((3 * form->places + form->room_size) * sizeof *field);
    if (!field)
        return LL_NO_MEMORY;
    ll_form_system_h(system, b, s->forms->bias.x, field, field + 3 * form->places);
    *body = &system->body[b];
    *h = field;
    return LL_OK;
}

ll_status ll_solution_past(const ll_solution *s, size_t part, ll_past **out)
{
    const ll_form_body *body;
    double *h;
    ll_status status = field_within(s, part, &body, &h);
    if (status)
        return status;
    status = ll_past_leave(body, &s->scene->part[part].pose, h, out);
    free(h);
    return status;
}

ll_status ll_solution_magnetised(const ll_solution *s, size_t part, ll_magnetised *out)
{
    const ll_form_body *body;
    double *h, volume = 0;
    const ll_status status = field_within(s, part, &body, &h);
    if (status)
        return status;
    ll_magnetised sum = {.least_a_m = HUGE_VAL, .most_a_m = -HUGE_VAL};
    for (size_t i = 0; i < body->placed.form->places; i++) {
        const double v = body->placed.form->volume_m3[i], along = ll_form_body_along(body, h, i);
        volume += v;
        sum.h_a_m += v * along;
        sum.least_a_m = fmin(sum.least_a_m, along);
        sum.most_a_m = fmax(sum.most_a_m, along);
        sum.j_t += v * (ll_hysteresis_b(body->loop, &body->turns[i], along, NULL) - LL_MU0 * along);
        sum.charge += v * ll_hysteresis_charge(body->loop, &body->turns[i], along);
    }
    free(h);
    sum.h_a_m /= volume;
    sum.j_t /= volume;
    sum.charge /= volume;
    sum.coercivity_a_m = ll_hysteresis_coercivity_a_m(body->loop);
    *out = sum;
    return LL_OK;
}
