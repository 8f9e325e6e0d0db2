/* history.h - what magnets went through before they were built in. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_HISTORY_H
#define LL_MAGNETICS_HISTORY_H

#include "magnetics/system.h"

/* For each magnet that was charged alone, the field that each of its tetrahedra saw in open air, on the mesh that it has in
 * the system: from there it recoils. Before the bias is solved; one thread at a time.
 * LL_NO_CONVERGENCE, LL_NO_MEMORY. */
ll_status ll_history_recall(ll_system *system, const ll_scene *scene);

#endif
