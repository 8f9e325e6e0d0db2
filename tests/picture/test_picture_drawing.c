/* A drawing of one block, read back dot by dot: three views at one scale that share their edges.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "picture/body.h"
#include "picture/canvas.h"
#include "picture/drawing.h"
#include <math.h>

enum { WIDTH = 160, X_MM = 24, Y_MM = 12, Z_MM = 6 };

/* From the first dot to the one behind the last. */
typedef struct run {
    int from, to;
} run;

static picture_solid block(picture_stuff stuff)
{
    picture_solid solid = {.name = "block",
                           .words = "of steel",
                           .stuff = stuff,
                           .rotation = ll_rotation_identity(),
                           .origin_mm = {3, -4, 5},
                           .prisms = 1};
    solid.prism[0] = picture_rectangle(X_MM, Y_MM, 0, -Z_MM / 2.0, Z_MM / 2.0);
    return solid;
}

static cairo_surface_t *drawn(const picture_drawing *drawing, double height_mm)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(WIDTH * PICTURE_DOTS_PER_MM),
                                   (int)(height_mm * PICTURE_DOTS_PER_MM));
    cairo_t *cairo = cairo_create(surface);
    cairo_scale(cairo, PICTURE_DOTS_PER_MM, PICTURE_DOTS_PER_MM);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_paint(cairo);
    picture_drawing_draw(cairo, drawing, WIDTH, height_mm);
    cairo_destroy(cairo);
    cairo_surface_flush(surface);
    return surface;
}

static bool is_fill(cairo_surface_t *surface, int x, int y)
{
    const picture_colour fill = picture_fill_of(PICTURE_STEEL);
    const unsigned char *dot = cairo_image_surface_get_data(surface) +
                               (size_t)y * (size_t)cairo_image_surface_get_stride(surface) +
                               4 * (size_t)x;
    return fabs(dot[2] - 255 * fill.r) < 3 && fabs(dot[1] - 255 * fill.g) < 3 &&
           fabs(dot[0] - 255 * fill.b) < 3;
}

/* Runs of rows, or of columns within some rows, that hold the fill for at least 1 mm; thinner lines are no gaps. */
static size_t runs_of(cairo_surface_t *surface, bool rows, run within, run *found, size_t room)
{
    int length =
        rows ? cairo_image_surface_get_height(surface) : cairo_image_surface_get_width(surface);
    int across = rows ? cairo_image_surface_get_width(surface) : within.to;
    size_t count = 0;
    for (int i = 0; i < length; i++) {
        int dots = 0;
        for (int k = rows ? 0 : within.from; k < across; k++)
            dots += rows ? is_fill(surface, k, i) : is_fill(surface, i, k);
        if (dots < PICTURE_DOTS_PER_MM)
            continue;
        if (count > 0 && i - found[count - 1].to < PICTURE_DOTS_PER_MM)
            found[count - 1].to = i + 1;
        else if (count < room)
            found[count++] = (run){i, i + 1};
    }
    return count;
}

static double length_of(run r)
{
    return r.to - r.from;
}

/* The outline takes a dot or two at each edge. */
static void the_three_views_of_a_block_have_one_scale_and_share_their_edges(void **state)
{
    (void)state;
    const picture_solid solid = block(PICTURE_STEEL);
    const picture_drawing drawing = {.title = "one", .count = 1, .solids = &solid};
    cairo_surface_t *surface = drawn(&drawing, picture_drawing_height(&drawing, WIDTH));
    run rows[4], upper[4], lower[4];
    const run all = {0, 0};
    assert_int_equal(runs_of(surface, true, all, rows, 4), 3); /* above, beside, and the key */
    assert_int_equal(runs_of(surface, false, rows[0], upper, 4), 1);
    assert_int_equal(runs_of(surface, false, rows[1], lower, 4), 2);
    double scale = length_of(upper[0]) / (X_MM * PICTURE_DOTS_PER_MM);
    assert_close(length_of(rows[0]), Y_MM * scale * PICTURE_DOTS_PER_MM, 4);
    assert_close(length_of(rows[1]), Z_MM * scale * PICTURE_DOTS_PER_MM, 4);
    assert_close(length_of(lower[1]), Y_MM * scale * PICTURE_DOTS_PER_MM, 4);
    assert_close(lower[0].from, upper[0].from, 2);
    assert_close(lower[0].to, upper[0].to, 2);
    /* A scale that a ruler likes: half a millimetre off in 24 would show as 2 %. */
    assert_close(scale * 4, round(scale * 4), 0.05);
    cairo_surface_destroy(surface);
}

static void any_sheet_takes_any_drawing(void **state)
{
    (void)state;
    static const double heights[] = {40, 400};
    picture_solid solids[2] = {block(PICTURE_WINDING), block(PICTURE_MAGNET)};
    const picture_string string = {"E4", 0, 30, 0.25};
    solids[1].origin_mm = ll_vec(1e4, 1e4, -1e4);
    solids[1].north = ll_vec(0, 0, 1);
    const picture_drawing drawing = {
        .title = "far apart", .count = 2, .solids = solids, .string_count = 1, .strings = &string};
    for (int i = 0; i < 2; i++)
        cairo_surface_destroy(drawn(&drawing, heights[i]));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_three_views_of_a_block_have_one_scale_and_share_their_edges),
        cmocka_unit_test(any_sheet_takes_any_drawing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
