/* font.h - the letters of all pictures: DejaVu Sans where it is installed, as on every Debian with cairo, so that a
 * picture is the same on every bench; else the sans serif that the machine prefers.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_FONT_H
#define LL_PICTURE_FONT_H

#include <cairo.h>
#include <stdbool.h>

/* The first call must not run beside another. */
void picture_select_font(cairo_t *cairo, bool bold);

#endif
