/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "winding/coil_key.h"
#include "winding/winding.h"

static const ll_member members[] = {
    LL_MEMBER(ll_coil_shape, opening_x_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_coil_shape, opening_y_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_coil_shape, corner_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_coil_shape, build_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_coil_shape, height_m, LL_MEMBER_NUMBERS),
};
const ll_members ll_coil_shape_members = LL_MEMBERS(ll_coil_shape, members);
