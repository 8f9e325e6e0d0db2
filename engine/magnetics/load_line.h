/* load_line.h - where on its curve a magnet works when it stands alone.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MAGNETICS_LOAD_LINE_H
#define LL_MAGNETICS_LOAD_LINE_H

#include "magnetics/body.h"

/* H and M in A/m along the region's axis where the curve meets the load line H = -N M of the whole shape in air, N its
 * magnetometric demagnetising factor along that axis (own frame of the placed shape). Either may be NULL. LL_NO_MEMORY. */
ll_status ll_load_line(const ll_region *region, const ll_shape *shape, const ll_pose *pose,
                       double *h_a_m, double *m_a_m);

#endif
