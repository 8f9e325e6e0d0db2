/* curves.h - lines, points or stems within a panel. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_CURVES_H
#define LL_PICTURE_CURVES_H

#include "axes.h"
#include "panel.h"

/* Clipped to the frame. `beside` of `among` curves: stems at the same x stand side by side, rising from zero or from
 * the floor. */
void picture_curve_draw(cairo_t *cairo, const picture_axes *axes, const picture_curve *curve,
                        picture_mark mark, bool from_zero, size_t beside, size_t among);

#endif
