/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "canvas.h"
#include "text.h"
#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <stdlib.h>
#include <string.h>

static const double points_per_mm = 72 / 25.4;

struct picture_canvas {
    picture_format format;
    cairo_surface_t *surface;
    cairo_t *cairo;
    char *title, *words; /* for SVG and PDF */
    char *bytes;
    size_t size, room;
};

bool picture_format_of(const char *file, picture_format *out)
{
    static const struct {
        const char *ending;
        picture_format format;
    } endings[] = {{".png", PICTURE_PNG}, {".svg", PICTURE_SVG}, {".pdf", PICTURE_PDF}};
    const char *dot = strrchr(file, '.');
    for (size_t i = 0; dot && i < sizeof endings / sizeof *endings; i++)
        if (strcmp(dot, endings[i].ending) == 0) {
            *out = endings[i].format;
            return true;
        }
    return false;
}

/* Appends; false when memory is short. */
static bool append(picture_canvas *canvas, const char *bytes, size_t size)
{
    if (size == 0)
        return true;
    if (canvas->room - canvas->size < size) {
        size_t room = 2 * canvas->room + size + 4096;
        char *grown = realloc(canvas->bytes, room);
        if (!grown)
            return false;
        canvas->bytes = grown;
        canvas->room = room;
    }
    memcpy(canvas->bytes + canvas->size, bytes, size);
    canvas->size += size;
    return true;
}

/* What cairo hands over as it goes. */
static cairo_status_t take(void *closure, const unsigned char *data, unsigned int length)
{
    return append(closure, (const char *)data, length) ? CAIRO_STATUS_SUCCESS
                                                       : CAIRO_STATUS_NO_MEMORY;
}

/* Vector formats count in points of 1/72 inch, the image in dots. */
static cairo_surface_t *new_surface(picture_canvas *canvas, double width_mm, double height_mm)
{
    double width_pt = width_mm * points_per_mm, height_pt = height_mm * points_per_mm;
    switch (canvas->format) {
    case PICTURE_SVG:
        return cairo_svg_surface_create_for_stream(take, canvas, width_pt, height_pt);
    case PICTURE_PDF:
        return cairo_pdf_surface_create_for_stream(take, canvas, width_pt, height_pt);
    default:
        return cairo_image_surface_create(CAIRO_FORMAT_RGB24,
                                          (int)(width_mm * PICTURE_DOTS_PER_MM + 0.5),
                                          (int)(height_mm * PICTURE_DOTS_PER_MM + 0.5));
    }
}

/* Letters at their true widths, the same in all formats. */
static void set_fonts(cairo_t *cairo)
{
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    cairo_set_font_options(cairo, options);
    cairo_font_options_destroy(options);
}

picture_canvas *picture_canvas_new(picture_format format, double width_mm, double height_mm)
{
    picture_canvas *canvas = calloc(1, sizeof *canvas);
    if (!canvas)
        return NULL;
    canvas->format = format;
    canvas->surface = new_surface(canvas, width_mm, height_mm);
    canvas->cairo = cairo_create(canvas->surface);
    double scale = format == PICTURE_PNG ? PICTURE_DOTS_PER_MM : points_per_mm;
    cairo_scale(canvas->cairo, scale, scale);
    set_fonts(canvas->cairo);
    cairo_set_source_rgb(canvas->cairo, 1, 1, 1);
    cairo_paint(canvas->cairo);
    return canvas;
}

void picture_canvas_free(picture_canvas *canvas)
{
    if (!canvas)
        return;
    cairo_destroy(canvas->cairo);
    cairo_surface_destroy(canvas->surface);
    free(canvas->title);
    free(canvas->words);
    free(canvas->bytes);
    free(canvas);
}

cairo_t *picture_canvas_cairo(picture_canvas *canvas)
{
    return canvas->cairo;
}

void picture_canvas_describe(picture_canvas *canvas, const char *title, const char *words)
{
    canvas->title = strdup(title);
    canvas->words = strdup(words);
    if (!canvas->title || !canvas->words)
        return;
    picture_clean(canvas->title);
    picture_clean(canvas->words);
    if (canvas->format == PICTURE_PDF) {
        cairo_pdf_surface_set_metadata(canvas->surface, CAIRO_PDF_METADATA_TITLE, canvas->title);
        cairo_pdf_surface_set_metadata(canvas->surface, CAIRO_PDF_METADATA_SUBJECT, canvas->words);
        /* An empty date keeps the clock out of the file. */
        cairo_pdf_surface_set_metadata(canvas->surface, CAIRO_PDF_METADATA_CREATE_DATE, "");
    }
}

/* Text with what XML would take for marks written out. */
static bool append_escaped(picture_canvas *canvas, const char *text)
{
    bool fine = true;
    for (; fine && *text; text++) {
        if (*text == '&')
            fine = append(canvas, "&amp;", 5);
        else if (*text == '<')
            fine = append(canvas, "&lt;", 4);
        else
            fine = append(canvas, text, 1);
    }
    return fine;
}

/* A text between its tags. */
static bool append_element(picture_canvas *canvas, const char *open, const char *text,
                           const char *close)
{
    return append(canvas, open, strlen(open)) && append_escaped(canvas, text) &&
           append(canvas, close, strlen(close));
}

/* Cairo draws letters as shapes: title and desc behind the opening tag tell in words what the picture shows. */
static bool add_words(picture_canvas *canvas)
{
    char *drawn = canvas->bytes;
    size_t size = canvas->size;
    const char *tag = size ? strstr(drawn, "<svg") : NULL;
    const char *end = tag ? strchr(tag, '>') : NULL;
    if (!end || !canvas->title || !canvas->words)
        return false;
    size_t head = (size_t)(end - drawn) + 1;
    canvas->bytes = NULL;
    canvas->size = canvas->room = 0;
    bool fine = append(canvas, drawn, head) &&
                append_element(canvas, "\n<title>", canvas->title, "</title>") &&
                append_element(canvas, "\n<desc>", canvas->words, "</desc>") &&
                append(canvas, drawn + head, size - head);
    free(drawn);
    return fine;
}

bool picture_canvas_bytes(picture_canvas *canvas, const char **bytes, size_t *size)
{
    bool fine = cairo_status(canvas->cairo) == CAIRO_STATUS_SUCCESS;
    if (canvas->format == PICTURE_PNG)
        fine = fine && cairo_surface_write_to_png_stream(canvas->surface, take, canvas) ==
                           CAIRO_STATUS_SUCCESS;
    cairo_surface_finish(canvas->surface);
    fine = fine && cairo_surface_status(canvas->surface) == CAIRO_STATUS_SUCCESS;
    if (canvas->format == PICTURE_SVG)
        fine = fine && append(canvas, "", 1) && add_words(canvas) && canvas->size-- > 0;
    *bytes = canvas->bytes;
    *size = canvas->size;
    return fine;
}
