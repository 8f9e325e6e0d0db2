/* contact.h - magnets that touch steel. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_CONTACT_H
#define LL_MAGNETICS_CONTACT_H

#include "scene/scene.h"

/* Potential of a part of magnetisation m_a_m (world axes) at n points of another body, psi overwritten. A body that
 * comes nearer than contact_m is seen as if it had been held off so far: the air that is left where parts merely touch. */
ll_status ll_contact_potential(const ll_part *part, ll_vec3 m_a_m, double contact_m, size_t n,
                               const ll_vec3 *points_m, double *psi);

#endif
