/* coupling_store.h - how a coupling is made, for its store. Internal to coupling.c and coupling_store.c.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_COUPLING_STORE_H
#define LL_MAGNETICS_COUPLING_STORE_H

#include "magnetics/coupling.h"

/* Fills the matrices of a coupling whose key is set. */
ll_status ll_coupling_make(ll_coupling *coupling);

#endif
