/* canvas.h - a sheet to draw on with cairo, and the bytes of the file it becomes.
 *
 * Drawing is in millimetres from the upper left corner, x to the right and y downwards, whatever the format. A PNG has
 * PICTURE_DOTS_PER_MM dots to the millimetre. The same run gives the same bytes wherever the same letters (font.h) and
 * the same cairo are; nothing in a file tells when or where it was made. (Cairo numbers the surfaces of SVG files through a run.)
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_CANVAS_H
#define LL_PICTURE_CANVAS_H

#include <cairo.h>
#include <stdbool.h>
#include <stddef.h>

#define PICTURE_DOTS_PER_MM 8.0

typedef enum picture_format { PICTURE_PNG, PICTURE_SVG, PICTURE_PDF } picture_format;

/* By the ending of the file's name; false when it is none of the three. */
bool picture_format_of(const char *file, picture_format *out);

typedef struct picture_canvas picture_canvas;

/* A white sheet. NULL when memory is short. The caller frees it. */
picture_canvas *picture_canvas_new(picture_format format, double width_mm, double height_mm);
void picture_canvas_free(picture_canvas *canvas);

/* Lives as long as the canvas; nothing may be drawn after picture_canvas_bytes. */
cairo_t *picture_canvas_cairo(picture_canvas *canvas);

/* What the picture shows in words, for readers and searchers: kept in SVG and PDF files. */
void picture_canvas_describe(picture_canvas *canvas, const char *title, const char *words);

/* The finished file, living as long as the canvas; false when memory was short or cairo found a fault. */
bool picture_canvas_bytes(picture_canvas *canvas, const char **bytes, size_t *size);

#endif
