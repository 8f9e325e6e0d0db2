/* A plot, drawn and read back dot by dot: points stand where the frame says that they stand, whatever the layout.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "picture/canvas.h"
#include "picture/plot.h"
#include "picture/style.h"
#include <math.h>
#include <string.h>

enum { WIDTH = 120, HEIGHT = 90 }; /* mm */

/* A rectangle of dots on a sheet. */
typedef struct box {
    double left, right, top, bottom;
} box;

static cairo_surface_t *drawn(const picture_plot *plot)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(WIDTH * PICTURE_DOTS_PER_MM),
                                   (int)(HEIGHT * PICTURE_DOTS_PER_MM));
    cairo_t *cairo = cairo_create(surface);
    cairo_scale(cairo, PICTURE_DOTS_PER_MM, PICTURE_DOTS_PER_MM);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_paint(cairo);
    picture_plot_draw(cairo, plot, WIDTH, HEIGHT);
    cairo_destroy(cairo);
    cairo_surface_flush(surface);
    return surface;
}

static bool is_colour(const unsigned char *dot, picture_colour colour)
{
    return fabs(dot[2] - 255 * colour.r) < 6 && fabs(dot[1] - 255 * colour.g) < 6 &&
           fabs(dot[0] - 255 * colour.b) < 6;
}

/* The smallest box around the dots of a colour that lie within `in`; whole widths are in `most` dots. */
static box around(cairo_surface_t *surface, picture_colour colour, box in)
{
    const unsigned char *data = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    box found = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    for (int y = (int)in.top; y < (int)in.bottom; y++)
        for (int x = (int)in.left; x < (int)in.right; x++)
            if (is_colour(data + (size_t)y * (size_t)stride + 4 * (size_t)x, colour)) {
                found.left = fmin(found.left, x);
                found.right = fmax(found.right, x + 1);
                found.top = fmin(found.top, y);
                found.bottom = fmax(found.bottom, y + 1);
            }
    return found;
}

/* The frame: the rows and columns that are ink over more than half of the sheet. */
static box frame_of(cairo_surface_t *surface)
{
    const unsigned char *data = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    int wide = cairo_image_surface_get_width(surface),
        high = cairo_image_surface_get_height(surface);
    box frame = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    for (int y = 0; y < high; y++) {
        int ink = 0;
        for (int x = 0; x < wide; x++)
            ink += data[(size_t)y * (size_t)stride + 4 * (size_t)x + 1] < 80;
        if (2 * ink > wide) {
            frame.top = fmin(frame.top, y);
            frame.bottom = fmax(frame.bottom, y + 1);
        }
    }
    for (int x = 0; x < wide; x++) {
        int ink = 0;
        for (int y = 0; y < high; y++)
            ink += data[(size_t)y * (size_t)stride + 4 * (size_t)x + 1] < 80;
        if (2 * ink > high) {
            frame.left = fmin(frame.left, x);
            frame.right = fmax(frame.right, x + 1);
        }
    }
    return frame;
}

/* Draws three points, of which the first and the last span the axes, and returns where the colour's second curve, a
 * single point, stands: its share of the frame from the left and from below. */
static void share_of_point(double x, double y, bool log, double *right, double *up)
{
    static const double xs[] = {1, 1000}, ys[] = {0, 100};
    const picture_curve curves[] = {
        {.count = 2, .x = xs, .y = ys, .colour = 0},
        {.count = 1, .x = &x, .y = &y, .colour = 1},
    };
    const picture_panel panel = {.label = "level (dB)", .count = 2, .curves = curves};
    const picture_plot plot = {.title = "A title",
                               .x_label = "frequency (Hz)",
                               .x_log = log,
                               .mark = PICTURE_POINTS,
                               .panel_count = 1,
                               .panels = &panel};
    cairo_surface_t *surface = drawn(&plot);
    box frame = frame_of(surface), point = around(surface, picture_curve_colour(1), frame);
    cairo_surface_destroy(surface);
    assert_true(point.left < point.right);
    *right = ((point.left + point.right) / 2 - frame.left) / (frame.right - frame.left);
    *up = (frame.bottom - (point.top + point.bottom) / 2) / (frame.bottom - frame.top);
}

/* A dot is 1/8 mm and the frame some 90 mm wide and 60 mm high: 0.004 is two dots. */
static void a_point_stands_at_its_share_of_linear_axes(void **state)
{
    (void)state;
    double right, up;
    share_of_point(251, 75, false, &right, &up); /* the axis runs from 0 to 1000 */
    assert_close(right, 0.251, 0.004);
    assert_close(up, 0.75, 0.004);
}

static void a_point_stands_at_the_share_of_its_logarithm(void **state)
{
    (void)state;
    double right, up;
    share_of_point(100, 20, true, &right, &up);
    assert_close(right, 2.0 / 3, 0.004);
    assert_close(up, 0.2, 0.004);
}

/* Stems of 10 and 40 over the same floor are as 1 to 4. */
static void stems_are_as_long_as_their_values(void **state)
{
    (void)state;
    static const double x[] = {1, 2}, y[] = {10, 40};
    static const char *const names[] = {"pole 1", "pole 2"};
    const picture_curve curve = {.count = 2, .x = x, .y = y};
    const picture_panel panel = {
        .label = "bz (mT)", .from_zero = true, .count = 1, .curves = &curve};
    const picture_plot plot = {.title = "",
                               .x_label = "",
                               .name_count = 2,
                               .x_names = names,
                               .mark = PICTURE_STEMS,
                               .panel_count = 1,
                               .panels = &panel};
    cairo_surface_t *surface = drawn(&plot);
    box frame = frame_of(surface), left = frame, right = frame;
    left.right = right.left = (frame.left + frame.right) / 2;
    left = around(surface, picture_curve_colour(0), left);
    right = around(surface, picture_curve_colour(0), right);
    cairo_surface_destroy(surface);
    assert_relative((right.bottom - right.top) / (left.bottom - left.top), 4, 0.02);
}

static void gaps_break_a_line(void **state)
{
    (void)state;
    static const double x[] = {0, 4, 5, 6, 10}, y[] = {0, 0, NAN, 1, 1};
    const picture_curve curve = {.count = 5, .x = x, .y = y};
    const picture_panel panel = {.label = "", .count = 1, .curves = &curve};
    const picture_plot plot = {.title = "", .x_label = "", .panel_count = 1, .panels = &panel};
    cairo_surface_t *surface = drawn(&plot);
    box middle = frame_of(surface);
    double width = middle.right - middle.left;
    middle.left += 0.45 * width;
    middle.right -= 0.45 * width;
    box found = around(surface, picture_curve_colour(0), middle);
    cairo_surface_destroy(surface);
    assert_true(found.left > found.right);
}

static void a_plot_without_any_value_is_an_empty_frame(void **state)
{
    (void)state;
    static const double nothing[] = {NAN};
    const picture_curve curve = {.count = 1, .x = nothing, .y = nothing};
    const picture_panel panel = {.label = "", .count = 1, .curves = &curve};
    picture_plot plot = {.title = "", .x_label = "", .panel_count = 1, .panels = &panel};
    for (int log = 0; log < 2; log++) {
        plot.x_log = log;
        cairo_surface_t *surface = drawn(&plot);
        box frame = frame_of(surface);
        assert_true(frame.right - frame.left > 0.5 * WIDTH * PICTURE_DOTS_PER_MM);
        cairo_surface_destroy(surface);
    }
}

/* Signatures of the formats: PNG (ISO/IEC 15948), PDF (ISO 32000), XML. */
static void each_format_begins_with_its_signature_and_repeats_its_bytes(void **state)
{
    (void)state;
    static const char *const begins[] = {"\x89PNG\r\n\x1a\n", "<?xml", "%PDF-"};
    for (int format = 0; format < 3; format++) {
        picture_canvas *canvas[2];
        const char *bytes[2] = {NULL, NULL};
        size_t size[2] = {0, 0};
        for (int i = 0; i < 2; i++) {
            canvas[i] = picture_canvas_new((picture_format)format, 50, 40);
            assert_non_null(canvas[i]);
            picture_canvas_describe(canvas[i], "A < B", "x & y");
            picture_segment(picture_canvas_cairo(canvas[i]), 1, 1, 40, 30, 0.5);
            assert_true(picture_canvas_bytes(canvas[i], &bytes[i], &size[i]));
        }
        assert_memory_equal(bytes[0], begins[format], strlen(begins[format]));
        assert_int_equal(size[0], size[1]);
        if (format != PICTURE_SVG) /* cairo numbers its surfaces through a run */
            assert_memory_equal(bytes[0], bytes[1], size[0]);
        picture_canvas_free(canvas[0]);
        picture_canvas_free(canvas[1]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_point_stands_at_its_share_of_linear_axes),
        cmocka_unit_test(a_point_stands_at_the_share_of_its_logarithm),
        cmocka_unit_test(stems_are_as_long_as_their_values),
        cmocka_unit_test(gaps_break_a_line),
        cmocka_unit_test(a_plot_without_any_value_is_an_empty_frame),
        cmocka_unit_test(each_format_begins_with_its_signature_and_repeats_its_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
