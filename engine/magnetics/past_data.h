/* past_data.h - inside of a past, for the bodies that follow it. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_PAST_DATA_H
#define LL_MAGNETICS_PAST_DATA_H

#include "base/shared.h"
#include "magnetics/form_body.h"
#include "magnetics/past.h"

/* The turns of each place, in the frame of the part. */
struct ll_past {
    ll_shared shared;
    double coercivity_a_m;
    size_t places;
    ll_vec3 *place_m;
    ll_turns *turns;
};

/* Of a field h[3][places] in the body's axes that along its magnetisation, at one place. */
static inline double ll_form_body_along(const ll_form_body *body, const double *h, size_t place)
{
    const size_t n = body->placed.form->places;
    const ll_vec3 a = body->region.axis;
    return h[place] * a.x + h[n + place] * a.y + h[2 * n + place] * a.z;
}

/* Gives a body that is made but not prepared a hysteresis, and at each of its places the turns of the nearest place of the past.
 * pose: the part's. LL_BAD_VALUE, LL_BAD_CURVE, LL_NO_MEMORY. */
ll_status ll_past_enter(const ll_past *past, const ll_pose *pose, ll_form_body *body);
/* The other way round, after the field h[3][places] (the body's axes). LL_NO_MEMORY. */
ll_status ll_past_leave(const ll_form_body *body, const ll_pose *pose, const double *h,
                        ll_past **out);

#endif
