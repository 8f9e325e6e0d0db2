/* cairo_type.h - the name of cairo's context alone, so that plain data need no cairo.h.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_CAIRO_TYPE_H
#define LL_PICTURE_CAIRO_TYPE_H

typedef struct _cairo cairo_t; /* NOLINT(bugprone-reserved-identifier): cairo calls it so */

#endif
