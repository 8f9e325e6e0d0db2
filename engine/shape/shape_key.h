/* shape_key.h - the members of a shape and of what a mesh is asked for, for keys. Internal. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SHAPE_SHAPE_KEY_H
#define LL_SHAPE_SHAPE_KEY_H

#include "base/key.h"

extern const ll_members ll_shape_members, ll_sizing_members;

#endif
