/* Maps: bounds of bands, their colours, and where bands and contours lie on the sheet.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "picture/bands.h"
#include "picture/map.h"
#include "picture/raster.h"
#include <math.h>
#include <string.h>

enum { COLUMNS = 41, ROWS = 21 };

/* A map over 40 x 20 mm whose value is that of the function. */
static picture_map map_of(double (*f)(double x, double y), double value[ROWS * COLUMNS])
{
    for (int r = 0; r < ROWS; r++)
        for (int c = 0; c < COLUMNS; c++)
            value[r * COLUMNS + c] = f(c - 20, r - 10);
    return (picture_map){.title = "",
                         .caption = "",
                         .across_label = "",
                         .up_label = "",
                         .unit = "mT",
                         .view = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
                         .across = {-20, 20},
                         .up = {-10, 10},
                         .columns = COLUMNS,
                         .rows = ROWS,
                         .value = value};
}

static double distance(double x, double y)
{
    return hypot(x, y);
}

static double along_x(double x, double y)
{
    (void)y;
    return x + 20;
}

static double upper_half_only(double x, double y)
{
    (void)x;
    return y > 0 ? 7 : NAN;
}

static void bounds_rise_by_one_two_and_five(void **state)
{
    (void)state;
    double value[200];
    for (int i = 0; i < 200; i++)
        value[i] = 3 * pow(10, i / 100.0); /* 3 to 295 */
    picture_bands bands = picture_bands_for(200, value, false);
    static const double expected[] = {5, 10, 20, 50, 100, 200};
    assert_int_equal(bands.bounds, 6);
    for (size_t i = 0; i < 6; i++)
        assert_relative(bands.bound[i], expected[i], 1e-9);
    assert_int_equal(picture_band_of(&bands, 4), 0);
    assert_int_equal(picture_band_of(&bands, 20), 3);
    assert_int_equal(picture_band_of(&bands, 1e9), 6);
}

static void signed_bounds_lie_evenly_about_zero_and_reach_no_farther_than_the_values(void **state)
{
    (void)state;
    double value[201];
    for (int i = 0; i <= 200; i++)
        value[i] = i - 100;
    picture_bands bands = picture_bands_for(201, value, true);
    assert_int_equal(bands.bounds % 2, 0);
    for (size_t i = 0; i < bands.bounds; i++)
        assert_relative(bands.bound[i], -bands.bound[bands.bounds - 1 - i], 1e-9);
    for (int i = 0; i <= 200; i++)
        value[i] = i - 1.5; /* nothing under -1.5 */
    bands = picture_bands_for(201, value, true);
    assert_relative(bands.bound[0], -1, 1e-9);
    assert_relative(bands.bound[bands.bounds - 1], 100, 1e-9);
}

static void no_value_at_all_still_gives_bands(void **state)
{
    (void)state;
    static const double none[] = {NAN, 0, NAN};
    for (int is_signed = 0; is_signed < 2; is_signed++) {
        picture_bands bands = picture_bands_for(3, none, is_signed);
        assert_true(bands.bounds >= 1);
        picture_band_colour(&bands, bands.bounds);
    }
}

static double lightness(picture_colour c)
{
    return 0.2126 * c.r + 0.7152 * c.g + 0.0722 * c.b;
}

/* What is told apart by lightness needs no colour vision. */
static void larger_values_are_darker(void **state)
{
    (void)state;
    picture_bands bands = {.bounds = 8, .all = 8};
    for (size_t i = 0; i < 8; i++)
        assert_true(lightness(picture_band_colour(&bands, i)) >
                    lightness(picture_band_colour(&bands, i + 1)) + 0.03);
    bands.is_signed = true;
    for (size_t i = 4; i < 8; i++) {
        assert_true(lightness(picture_band_colour(&bands, i)) >
                    lightness(picture_band_colour(&bands, i + 1)));
        assert_true(lightness(picture_band_colour(&bands, 8 - i)) >
                    lightness(picture_band_colour(&bands, 7 - i)));
    }
}

/* The dot at a place of a surface of one dot to the unit. */
static picture_colour dot_at(cairo_surface_t *surface, int x, int y)
{
    const unsigned char *data = cairo_image_surface_get_data(surface);
    data += (size_t)y * (size_t)cairo_image_surface_get_stride(surface) + 4 * (size_t)x;
    return (picture_colour){data[2] / 255.0, data[1] / 255.0, data[0] / 255.0};
}

static void assert_colour(picture_colour found, picture_colour expected)
{
    assert_close(found.r, expected.r, 0.01);
    assert_close(found.g, expected.g, 0.01);
    assert_close(found.b, expected.b, 0.01);
}

/* Over 400 x 200 dots. */
static void paint(cairo_t *cairo, const picture_map *map, const picture_bands *bands)
{
    picture_raster raster;
    assert_true(picture_raster_new(map, (picture_box){0, 0, 400, 200}, &raster));
    picture_paint_bands(cairo, &raster, bands);
    picture_raster_clear(&raster);
}

static double block_only(double x, double y)
{
    return fabs(x) <= 5.3 && fabs(y) <= 3.3 ? 9 : 1;
}

/* A magnet whose surface lies between points of the grid: no value between 1 and 9 may be painted. */
static void nothing_is_smeared_across_the_surface_of_a_magnet(void **state)
{
    (void)state;
    double value[ROWS * COLUMNS];
    const picture_bands bands = {.bounds = 2, .all = 2, .bound = {2, 8}};
    picture_solid block = {
        .stuff = PICTURE_MAGNET, .prisms = 1, .rotation = ll_rotation_identity()};
    block.prism[0] = picture_rectangle(10.6, 6.6, 0, -2, 2);
    picture_map map = map_of(block_only, value);
    map.count = 1;
    map.solids = &block;
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 400, 200);
    cairo_t *cairo = cairo_create(surface);
    paint(cairo, &map, &bands);
    cairo_surface_flush(surface);
    for (int x = 0; x < 400;
         x++) { /* ten dots to the millimetre; a dot to either side of the surface is left out */
        double across = fabs((x + 0.5) / 10 - 20);
        if (fabs(across - 5.3) > 0.15)
            assert_colour(dot_at(surface, x, 100),
                          picture_band_colour(&bands, across < 5.3 ? 2 : 0));
    }
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
}

static double frame_only(double x, double y)
{
    const bool hole = fabs(x) <= 3.3 && fabs(y) <= 2.3;
    return fabs(x) <= 9.3 && fabs(y) <= 6.3 && !hole ? 9 : 1;
}

/* What is taken out of a body belongs to what is around it: its edges are as sharp, and nothing between 1 and 9 is painted. */
static void a_hole_is_outside_of_its_magnet(void **state)
{
    (void)state;
    double value[ROWS * COLUMNS];
    const picture_bands bands = {.bounds = 2, .all = 2, .bound = {2, 8}};
    picture_solid frame = {
        .stuff = PICTURE_MAGNET, .prisms = 2, .rotation = ll_rotation_identity()};
    frame.prism[0] = picture_rectangle(18.6, 12.6, 0, -2, 2);
    frame.prism[1] = picture_rectangle(6.6, 4.6, 0, -2, 2);
    frame.prism[1].hole = true;
    picture_map map = map_of(frame_only, value);
    map.count = 1;
    map.solids = &frame;
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 400, 200);
    cairo_t *cairo = cairo_create(surface);
    paint(cairo, &map, &bands);
    cairo_surface_flush(surface);
    for (int x = 0; x < 400; x++) {
        const double across = fabs((x + 0.5) / 10 - 20);
        if (fabs(across - 9.3) > 0.15 && fabs(across - 3.3) > 0.15)
            assert_colour(dot_at(surface, x, 100),
                          picture_band_colour(&bands, across > 3.3 && across < 9.3 ? 2 : 0));
    }
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
}

static double even(double x, double y)
{
    (void)x;
    (void)y;
    return 5;
}

enum { SHEET_WIDE = 800, SHEET_HIGH = 400 };

/* A whole sheet of an even field, with arrows of that direction or without. */
static cairo_surface_t *sheet_of(const double (*direction)[3])
{
    static double value[ROWS * COLUMNS];
    picture_map map = map_of(even, value);
    map.direction = direction;
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, SHEET_WIDE, SHEET_HIGH);
    cairo_t *cairo = cairo_create(surface);
    cairo_scale(cairo, 5, 5);
    picture_map_draw(cairo, &map, SHEET_WIDE / 5, SHEET_HIGH / 5);
    cairo_surface_flush(surface);
    cairo_destroy(cairo);
    return surface;
}

/* Mean distance of the arrows' ink from the left and from the bottom, in dots. */
static void ink_of(const double direction[3], double *right, double *up)
{
    static double all[ROWS * COLUMNS][3];
    for (int i = 0; i < ROWS * COLUMNS; i++)
        memcpy(all[i], direction, sizeof all[i]);
    cairo_surface_t *bare = sheet_of(NULL), *drawn = sheet_of((const double(*)[3])all);
    double ink = 0;
    *right = *up = 0;
    for (int y = 0; y < SHEET_HIGH; y++)
        for (int x = 0; x < SHEET_WIDE; x++) {
            const double here =
                fabs(lightness(dot_at(drawn, x, y)) - lightness(dot_at(bare, x, y)));
            ink += here;
            *right += here * x;
            *up += here * (SHEET_HIGH - y);
        }
    *right /= ink;
    *up /= ink;
    cairo_surface_destroy(bare);
    cairo_surface_destroy(drawn);
}

/* An arrow's head, where most of its ink is, lies where the field points to. */
static void arrows_point_where_the_field_does(void **state)
{
    (void)state;
    static const double north[] = {0, 1, 0}, south[] = {0, -1, 0}, east[] = {1, 0, 0},
                        west[] = {-1, 0, 0};
    double right[4], up[4];
    ink_of(north, &right[0], &up[0]);
    ink_of(south, &right[1], &up[1]);
    ink_of(east, &right[2], &up[2]);
    ink_of(west, &right[3], &up[3]);
    assert_true(up[0] > up[1] + 0.5 && right[2] > right[3] + 0.5);
    assert_close(right[0], right[1], 0.4);
    assert_close(up[2], up[3], 0.4);
}

static void between_points_the_grid_is_bilinear(void **state)
{
    (void)state;
    double value[ROWS * COLUMNS];
    picture_map map = map_of(along_x, value);
    picture_raster raster;
    assert_true(picture_raster_new(&map, (picture_box){0, 0, 400, 200}, &raster));
    assert_close(picture_grid_value(&raster, 0, 7.25, 3.5), 7.25, 1e-12);
    assert_close(picture_grid_value(&raster, 0, COLUMNS - 1, ROWS - 1), 40, 1e-12);
    assert_true(isnan(picture_grid_value(&raster, 0, -0.1, 0)));
    assert_true(isnan(picture_grid_value(&raster, 0, 0, ROWS)));
    picture_raster_clear(&raster);
}

/* A circle of radius 8 mm on a box of 1000 x 500 for 40 x 20 mm has the radius 200; extents are rounded outwards to
 * whole units, and may take in a width of line. */
static void the_contour_of_a_distance_is_a_circle(void **state)
{
    (void)state;
    double value[ROWS * COLUMNS], x, y, width, height;
    picture_map map = map_of(distance, value);
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, NULL);
    cairo_t *cairo = cairo_create(surface);
    cairo_set_line_width(cairo, 0.1);
    picture_raster raster;
    assert_true(picture_raster_new(&map, (picture_box){0, 0, 1000, 500}, &raster));
    picture_draw_contour(cairo, &raster, 8);
    picture_raster_clear(&raster);
    cairo_recording_surface_ink_extents(surface, &x, &y, &width, &height);
    assert_close(width, 400, 4);
    assert_close(height, 400, 4);
    assert_close(x + width / 2, 500, 1);
    assert_close(y + height / 2, 250, 1);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
}

static void bands_are_painted_where_their_values_are_and_gaps_stay_white(void **state)
{
    (void)state;
    double value[ROWS * COLUMNS];
    const picture_colour white = {1, 1, 1};
    const picture_bands bands = {.bounds = 2, .all = 2, .bound = {10, 30}};
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 400, 200);
    cairo_t *cairo = cairo_create(surface);
    picture_map map = map_of(along_x, value);
    paint(cairo, &map, &bands);
    cairo_surface_flush(surface);
    for (int y = 5; y < 200; y += 90) { /* 40 mT over 400 dots: bounds at dots 100 and 300 */
        assert_colour(dot_at(surface, 97, y), picture_band_colour(&bands, 0));
        assert_colour(dot_at(surface, 103, y), picture_band_colour(&bands, 1));
        assert_colour(dot_at(surface, 297, y), picture_band_colour(&bands, 1));
        assert_colour(dot_at(surface, 303, y), picture_band_colour(&bands, 2));
    }
    map = map_of(upper_half_only, value);
    paint(cairo, &map, &bands);
    cairo_surface_flush(surface);
    assert_colour(dot_at(surface, 200, 20), picture_band_colour(&bands, 0));
    assert_colour(dot_at(surface, 200, 180), white);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bounds_rise_by_one_two_and_five),
        cmocka_unit_test(signed_bounds_lie_evenly_about_zero_and_reach_no_farther_than_the_values),
        cmocka_unit_test(no_value_at_all_still_gives_bands),
        cmocka_unit_test(larger_values_are_darker),
        cmocka_unit_test(nothing_is_smeared_across_the_surface_of_a_magnet),
        cmocka_unit_test(a_hole_is_outside_of_its_magnet),
        cmocka_unit_test(arrows_point_where_the_field_does),
        cmocka_unit_test(between_points_the_grid_is_bilinear),
        cmocka_unit_test(the_contour_of_a_distance_is_a_circle),
        cmocka_unit_test(bands_are_painted_where_their_values_are_and_gaps_stay_white),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
