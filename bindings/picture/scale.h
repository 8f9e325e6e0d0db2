/* scale.h - how values become places on a sheet, and where ticks stand. Knows nothing of drawing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_SCALE_H
#define LL_PICTURE_SCALE_H

#include <stdbool.h>
#include <stddef.h>

typedef struct picture_scale {
    double from, to;       /* values, from < to; both > 0 when log */
    double from_mm, to_mm; /* their places */
    bool log;
    bool degrees; /* ticks at fractions of a turn */
} picture_scale;

/* A value outside goes beyond the ends; a value that a logarithm does not know gives NAN. */
double picture_place(const picture_scale *scale, double value);

/* Widens the range of the data to round values: a linear one to steps of its ticks, a logarithmic one to 1, 2 or 5
 * times a power of ten. A range of one value becomes one around it. */
void picture_scale_fit(picture_scale *scale, double low, double high);

enum { PICTURE_MOST_TICKS = 64 };
typedef struct picture_tick {
    double value;
    bool labelled;
} picture_tick;

/* Fills the ticks within the range, rising; returns how many. `wanted` is about how many labels there is room for. */
size_t picture_ticks(const picture_scale *scale, double wanted,
                     picture_tick ticks[PICTURE_MOST_TICKS]);

/* The step of linear ticks: 1, 2 or 5 times a power of ten; of degrees from 15 on 15, 30, 45, 90 or 180. */
double picture_step(double range, double wanted, bool degrees);

/* The text of a tick: no more decimals than `step` needs; 0 for logarithmic ticks, where 2000 becomes 2k. */
void picture_tick_text(double value, double step, char *text, size_t size);

#endif
