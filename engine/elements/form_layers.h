/* form_layers.h - the charge and dipole layers of one surface, tested on another or on itself in closed form.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_FORM_LAYERS_H
#define LL_ELEMENTS_FORM_LAYERS_H

#include "elements/form.h"

/* The layers of `source` integrated against the target's corner hats: single[nc_t][nc_s], dbl[nc_t][ns_s], row-major, both
 * overwritten. The poses place the two forms in one frame. Between two bodies contact_m > 0 is the air that is left where
 * they touch, and target triangles that come near the source are tested at more points; for a body on itself it is 0.
 * LL_NO_MEMORY. */
ll_status ll_layers_test(const ll_form *target, const ll_pose *target_pose, const ll_form *source,
                         const ll_pose *source_pose, double contact_m, double *single, double *dbl);

#endif
