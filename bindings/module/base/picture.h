/* picture.h - pictures from scripts: what their options have in common, and the way from a drawing to a file.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_PICTURE_H
#define LL_BIND_PICTURE_H

#include "module/base/fields.h"
#include "picture/cairo_type.h"
#include <stddef.h>

#define BIND_PICTURE_FILE "file to write below --out; .png, .svg or .pdf"

/* The fields `width` and `height` of a struct that keeps them as width_m and height_m, 0 when left out; `least` is the
 * width in mm below which there is no room for its texts. */
#define BIND_PICTURE_SIZE(type, least)                                                             \
    {"width",                                                                                      \
     FIELD_NUMBER,                                                                                 \
     offsetof(type, width_m),                                                                      \
     .meaning = "of the picture",                                                                  \
     .unit = UNIT_MM,                                                                              \
     .low = (least),                                                                               \
     .high = 400},                                                                                 \
    {                                                                                              \
        "height", FIELD_NUMBER, offsetof(type, height_m), .meaning = "of the picture",             \
                                                          .unit = UNIT_MM, .low = 40, .high = 400  \
    }

/* A file to be drawn. */
typedef struct bind_sheet {
    const char *place; /* opens messages: "plot" */
    const char *file;
    double width_mm, height_mm;
    const char *title, *words; /* what it shows, for readers of SVG and PDF */
} bind_sheet;

/* Raises where there can be no such picture: another ending, nowhere to write, a build without cairo. To be called
 * before the work that the picture shows. */
void bind_check_sheet(lua_State *L, const bind_sheet *sheet);

/* Draws on an empty sheet; `what` is its own struct. Never touches Lua. */
typedef void (*bind_drawer)(cairo_t *cairo, const void *what, double width_mm, double height_mm);

/* The drawer, or nothing in a build without cairo. */
#ifdef LL_HAVE_CAIRO
#define BIND_DRAWER(drawer) (drawer)
#else
#define BIND_DRAWER(drawer) NULL
#endif

/* Writes the drawn file; nothing in a check. Raises. */
void bind_draw(lua_State *L, const bind_sheet *sheet, bind_drawer drawer, const void *what);

#endif
