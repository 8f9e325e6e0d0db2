/* law_key.h - the members of a law and of a piece of a curve, for keys. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MATERIAL_LAW_KEY_H
#define LL_MATERIAL_LAW_KEY_H

#include "base/key.h"

extern const ll_members ll_law_members, ll_piece_members;

#endif
