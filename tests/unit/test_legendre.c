/* test_legendre.c - polynomials and rows of elements in one dimension. SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "elements/legendre.h"
#include "elements/line.h"
#include <gsl/gsl_sf_legendre.h>

/* GSL's own recurrence is the outside check. */
static void polynomials_are_those_of_the_library(void **state)
{
    (void)state;
    for (double x = -1; x <= 1; x += 0.125) {
        double p[7];
        ll_legendre(7, x, p);
        for (int k = 0; k < 7; k++)
            assert_close(p[k], gsl_sf_legendre_Pl(k, x), 1e-14);
    }
}

static void shapes_are_hats_and_bubbles_with_orthonormal_slopes(void **state)
{
    (void)state;
    double node[8], weight[8], product[6][6] = {{0}}, v[6], d[6];
    assert_ok(ll_gauss_points(8, node, weight));
    for (int i = 0; i < 8; i++) {
        ll_shapes(5, node[i], v, d);
        for (int a = 0; a < 6; a++)
            for (int b = 0; b < 6; b++)
                product[a][b] += weight[i] * d[a] * d[b];
    }
    for (int a = 2; a < 6; a++)
        for (int b = 0; b < 6; b++)
            assert_close(product[a][b], a == b, 1e-14);
    for (int end = 0; end < 2; end++) {
        ll_shapes(5, end ? 1 : -1, v, d);
        for (int k = 0; k < 6; k++)
            assert_close(v[k], k == end, 1e-15);
    }
}

static void slopes_are_those_of_the_values(void **state)
{
    (void)state;
    const double step = 1e-5;
    double low[6], high[6], d[6], unused[6];
    for (double x = -0.9; x < 1; x += 0.3) {
        ll_shapes(5, x - step, low, unused);
        ll_shapes(5, x + step, high, unused);
        ll_shapes(5, x, unused, d);
        for (int k = 0; k < 6; k++)
            assert_close(d[k], (high[k] - low[k]) / (2 * step), 1e-8);
    }
}

/* x^2 is in the space of degree 2: its coefficients are its values at the breaks, and for the bubble of an element of half
 * length h, (x^2 - the line through both ends) = h^2 (t^2 - 1), t^2 - 1 = (2/3) (P_2 - P_0) = (2/3) sqrt(6) bubble. */
static void a_row_holds_polynomials_of_its_degree_exactly(void **state)
{
    (void)state;
    const double at[] = {0, 0.3, 1.1, 1.2};
    ll_line line;
    assert_ok(ll_line_make(3, at, 2, 4, &line));
    assert_int_equal(line.unknowns, 7);
    double w[7];
    for (int i = 0; i < 4; i++)
        w[i] = at[i] * at[i];
    for (int e = 0; e < 3; e++) {
        const double h = 0.5 * (at[e + 1] - at[e]);
        w[ll_line_unknown(&line, e, 2)] = h * h * 2 / 3.0 * sqrt(6);
    }
    double area = 0;
    for (int q = 0; q < line.points; q++) {
        double value = 0, slope = 0;
        for (int k = 0; k < line.unknowns; k++) {
            value += w[k] * line.value[q * line.unknowns + k];
            slope += w[k] * line.slope[q * line.unknowns + k];
        }
        const double x = line.point[q];
        assert_close(value, x * x, 1e-14);
        assert_close(slope, 2 * x, 1e-13);
        area += line.weight[q] * value;
    }
    assert_close(area, 1.2 * 1.2 * 1.2 / 3, 1e-14);
    ll_line_clear(&line);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(polynomials_are_those_of_the_library),
        cmocka_unit_test(shapes_are_hats_and_bubbles_with_orthonormal_slopes),
        cmocka_unit_test(slopes_are_those_of_the_values),
        cmocka_unit_test(a_row_holds_polynomials_of_its_degree_exactly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
