/* contact.h - a magnet's potential at other bodies, and at steel that it touches. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_CONTACT_H
#define LL_MAGNETICS_CONTACT_H

#include "scene/scene.h"

/* psi[n] += the potential of a part of magnetisation m_a_m (world axes) at n points. A body that comes nearer than contact_m is
 * seen as if it had been held off so far: the air that is left where parts merely touch. contact_m 0: the points as they are.
 * Nothing is added where m_a_m is zero. LL_NO_MEMORY. */
ll_status ll_contact_add(const ll_part *part, ll_vec3 m_a_m, double contact_m, size_t n,
                         const ll_vec3 *points_m, double *psi);

#endif
