/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/pose_key.h"
#include "base/geometry.h"

static const ll_member members[] = {
    LL_MEMBER(ll_pose, rotation, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_pose, origin_m, LL_MEMBER_NUMBERS),
};
const ll_members ll_pose_members = LL_MEMBERS(ll_pose, members);
