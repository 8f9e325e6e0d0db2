/* bands.h - values sorted into bands of colour whose bounds rise by 1, 2, 5, 10 ..., so that a field that falls over
 * three decades shows its shape everywhere. Knows nothing of drawing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_BANDS_H
#define LL_PICTURE_BANDS_H

#include "style.h"

enum { PICTURE_MOST_BOUNDS = 14 };

typedef struct picture_bands {
    bool is_signed; /* bounds on both sides of zero */
    size_t bounds;
    double bound[PICTURE_MOST_BOUNDS]; /* rising; bounds + 1 bands */
    size_t below, all; /* bounds left out below, and all of a scale that is even about zero */
} picture_bands;

/* Bounds for the values, which may hold NAN. A share of the largest ones is left to the outermost band: at an edge a
 * field has no bound. */
picture_bands picture_bands_for(size_t count, const double *value, bool is_signed);

/* 0 to bounds. */
size_t picture_band_of(const picture_bands *bands, double value);

/* From pale to dark blue, or from blue over white to brown where there is a sign: lightness alone tells the size, and
 * blue is told from brown with every common kind of colour blindness. */
picture_colour picture_band_colour(const picture_bands *bands, size_t band);

/* True for a colour on which ink is hard to see. */
bool picture_is_dark(picture_colour colour);

#endif
