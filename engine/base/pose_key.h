/* pose_key.h - the members of a pose, for keys. Internal. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_POSE_KEY_H
#define LL_BASE_POSE_KEY_H

#include "base/key.h"

extern const ll_members ll_pose_members;

#endif
