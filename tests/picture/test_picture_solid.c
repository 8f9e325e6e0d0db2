/* Sections and outlines of bodies against plane geometry: areas and edges of circles, ellipses, rectangles.
 * A circle is drawn with 64 corners, whose area is 0.16 % less than that of the circle.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "picture/solid.h"
#include <math.h>

static const double pi = 3.14159265358979323846;
static const picture_view above = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
static const picture_view front = {{1, 0, 0}, {0, 0, 1}, {0, -1, 0}};

static double area(const picture_outline *outline)
{
    double sum = 0;
    for (size_t i = 0; i < outline->corners; i++) {
        const double *a = outline->corner_mm[i],
                     *b = outline->corner_mm[(i + 1) % outline->corners];
        sum += (a[0] * b[1] - a[1] * b[0]) / 2;
    }
    return sum;
}

static picture_range extent(const picture_outline *outline, int axis)
{
    picture_range range = {INFINITY, -INFINITY};
    for (size_t i = 0; i < outline->corners; i++) {
        range.from_mm = fmin(range.from_mm, outline->corner_mm[i][axis]);
        range.to_mm = fmax(range.to_mm, outline->corner_mm[i][axis]);
    }
    return range;
}

static picture_solid of_prism(picture_prism prism, ll_rotation rotation, ll_vec3 origin_mm)
{
    picture_solid solid = {.rotation = rotation, .origin_mm = origin_mm, .prisms = 1};
    solid.prism[0] = prism;
    return solid;
}

static void a_rod_cut_across_is_a_circle_and_along_a_rectangle(void **state)
{
    (void)state;
    picture_outline cut;
    picture_solid rod =
        of_prism(picture_circle(5, -9, 9), ll_rotation_identity(), ll_vec(10, 20, -8));
    picture_cut(&rod, 0, &above, -8, &cut);
    assert_relative(area(&cut), pi * 25 / 4, 0.002);
    assert_close(extent(&cut, 0).to_mm, 12.5, 1e-9);
    picture_cut(&rod, 0, &front, -20, &cut); /* the view's depth runs against y */
    assert_close(area(&cut), 5 * 18, 1e-9);
    assert_close(extent(&cut, 1).from_mm, -17, 1e-9);
    assert_close(extent(&cut, 1).to_mm, 1, 1e-9);
}

static void a_plane_beside_a_body_cuts_nothing(void **state)
{
    (void)state;
    picture_outline cut;
    picture_solid rod = of_prism(picture_circle(5, -9, 9), ll_rotation_identity(), ll_vec(0, 0, 0));
    picture_cut(&rod, 0, &above, 9.001, &cut);
    assert_int_equal(cut.corners, 0);
    picture_cut(&rod, 0, &front, -2.6, &cut);
    assert_int_equal(cut.corners, 0);
}

/* An ellipse with the half axes r and r / cos(tilt). */
static void a_tilted_rod_cut_level_is_an_ellipse(void **state)
{
    (void)state;
    picture_outline cut;
    const double tilt = pi / 6;
    picture_solid rod = of_prism(picture_circle(5, -50, 50),
                                 ll_rotation_about(ll_vec(0, 1, 0), tilt), ll_vec(0, 0, 0));
    picture_cut(&rod, 0, &above, 3, &cut);
    assert_relative(area(&cut), pi * 25 / 4 / cos(tilt), 0.002);
    /* Along x it is centred where the axis goes through the plane. */
    assert_close((extent(&cut, 0).from_mm + extent(&cut, 0).to_mm) / 2, 3 * tan(tilt), 1e-6);
}

static void a_turned_block_is_seen_as_wide_as_its_diagonals(void **state)
{
    (void)state;
    picture_outline seen;
    picture_solid block = of_prism(picture_rectangle(6, 6, 0, -2, 2),
                                   ll_rotation_about(ll_vec(0, 0, 1), pi / 4), ll_vec(1, 0, 0));
    picture_seen(&block, 0, &front, &seen);
    assert_int_equal(seen.corners, 4);
    assert_close(area(&seen), 6 * sqrt(2) * 4, 1e-9);
    assert_close(extent(&seen, 0).to_mm, 1 + 3 * sqrt(2), 1e-9);
    picture_seen(&block, 0, &above, &seen);
    assert_close(area(&seen), 36, 1e-9);
}

/* A rectangle with round corners lacks 4 - pi of the square of the radius. */
static void round_corners_take_their_share_of_a_rectangle(void **state)
{
    (void)state;
    picture_outline seen;
    picture_solid bobbin =
        of_prism(picture_rectangle(57, 6, 3, -3, 3), ll_rotation_identity(), ll_vec(0, 0, 0));
    picture_seen(&bobbin, 0, &above, &seen);
    assert_relative(area(&seen), 57 * 6 - (4 - pi) * 9, 0.001);
}

static void reach_is_the_bounding_box(void **state)
{
    (void)state;
    picture_solid block = of_prism(picture_rectangle(60, 10, 0, -2, 2),
                                   ll_rotation_about(ll_vec(1, 0, 0), pi / 2), ll_vec(0, -8, -12));
    picture_range y = picture_reach(&block, ll_vec(0, 1, 0)),
                  z = picture_reach(&block, ll_vec(0, 0, 1));
    assert_close(y.from_mm, -10, 1e-9);
    assert_close(y.to_mm, -6, 1e-9);
    assert_close(z.from_mm, -17, 1e-9);
    assert_close(z.to_mm, -7, 1e-9);
}

static void a_hole_is_looked_through_along_its_axis_only(void **state)
{
    (void)state;
    picture_solid ring =
        of_prism(picture_circle(8, -3, 3), ll_rotation_identity(), ll_vec(0, 0, 0));
    ring.prisms = 2;
    ring.prism[1] = picture_circle(4, -3, 3);
    ring.prism[1].hole = true;
    assert_true(picture_looked_through(&ring, 1, &above));
    assert_false(picture_looked_through(&ring, 1, &front));
    assert_false(picture_looked_through(&ring, 0, &above));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rod_cut_across_is_a_circle_and_along_a_rectangle),
        cmocka_unit_test(a_plane_beside_a_body_cuts_nothing),
        cmocka_unit_test(a_tilted_rod_cut_level_is_an_ellipse),
        cmocka_unit_test(a_turned_block_is_seen_as_wide_as_its_diagonals),
        cmocka_unit_test(round_corners_take_their_share_of_a_rectangle),
        cmocka_unit_test(reach_is_the_bounding_box),
        cmocka_unit_test(a_hole_is_looked_through_along_its_axis_only),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
