/* coil_key.h - the members of a winding's shape, for keys. Internal. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_WINDING_COIL_KEY_H
#define LL_WINDING_COIL_KEY_H

#include "base/key.h"

extern const ll_members ll_coil_shape_members;

#endif
