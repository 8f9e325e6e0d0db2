/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shape/shape_key.h"
#include "shape/shape.h"
#include "shape/sizing.h"

static const ll_member members[] = {
    LL_MEMBER(ll_shape, kind, LL_MEMBER_ENUM),
    LL_MEMBER(ll_shape, size_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_shape, radius_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_shape, inner_radius_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_shape, head_radius_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_shape, head_height_m, LL_MEMBER_NUMBERS),
};
const ll_members ll_shape_members = LL_MEMBERS(ll_shape, members);

static const ll_member of_sizing[] = {
    LL_MEMBER(ll_sizing, fineness, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_sizing, edge, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_sizing, most_m, LL_MEMBER_NUMBERS),
};
const ll_members ll_sizing_members = LL_MEMBERS(ll_sizing, of_sizing);
