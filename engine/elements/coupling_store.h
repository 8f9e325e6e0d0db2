/* coupling_store.h - couplings, shared by equal pairs of bodies within a scene and from one scene to the next.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_COUPLING_STORE_H
#define LL_ELEMENTS_COUPLING_STORE_H

#include "elements/coupling.h"

/* From the store or new; shared by counting, ll_coupling_release gives up one share (of NULL: nothing). Thread-safe. */
ll_status ll_coupling_get(const ll_placed *target, const ll_placed *source, ll_nearness nearness,
                          double contact_m, ll_coupling **out);
void ll_coupling_release(ll_coupling *coupling);

#endif
