/* wiring.h - how player, known resistor, pickup and recorder are joined to measure an impedance. Millimetres on the sheet.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_WIRING_H
#define LL_PICTURE_WIRING_H

#include "cairo_type.h"
#include <stdbool.h>

#define PICTURE_WIRING_HEIGHT_MM 92.0

typedef struct picture_wiring {
    const char *title;
    const char *resistor; /* "47 kohm" */
    const char *load;     /* what stands in the pickup's place: "pickup", "100 kohm" */
    bool shorted;         /* a wire across the resistor */
} picture_wiring;

/* Scaled to the width; `height_mm` is that of the sheet. */
void picture_draw_wiring(cairo_t *cairo, const picture_wiring *wiring, double width_mm,
                         double height_mm);

#endif
