/* test_rectangle.c - potentials of rectangles with polynomial layers against adaptive quadrature and what must hold.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "elements/legendre.h"
#include "elements/rectangle.h"
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <stdbool.h>
#include <stdlib.h>

enum { VALUES_MOST = 61 };

/* One density, a point, and the u at which the inner integral runs. */
typedef struct integrand {
    const ll_rectangle_sides *r;
    int degree, g, h;
    bool dipole;
    double at[3], u;
    gsl_integration_workspace *inner;
} integrand;

static double own(const double side[2], double x)
{
    return (2 * x - side[0] - side[1]) / (side[1] - side[0]);
}

static double density(const integrand *f, double x, int k)
{
    double value[8], slope[8];
    if (f->dipole)
        ll_shapes(f->degree, x, value, slope);
    else
        ll_legendre(f->degree, x, value);
    return value[k];
}

static double along_w(double w, void *context)
{
    const integrand *f = context;
    const double du = f->at[0] - f->u, dw = f->at[1] - w, z = f->at[2];
    const double d = sqrt(du * du + dw * dw + z * z);
    return density(f, own(f->r->w, w), f->h) * (f->dipole ? z / (d * d * d) : 1 / d);
}

/* In two pieces, parted where the point lies above the side, as there the integrand is steepest. */
static double pieces(double (*what)(double, void *), integrand *f, const double side[2], double x,
                     gsl_integration_workspace *room)
{
    double sum = 0;
    const double middle = x > side[0] && x < side[1] ? x : 0.5 * (side[0] + side[1]);
    const double end[3] = {side[0], middle, side[1]};
    for (int i = 0; i < 2; i++) {
        gsl_function fun = {what, f};
        double part, error;
        gsl_integration_qags(&fun, end[i], end[i + 1], 1e-11, 1e-10, 200, room, &part, &error);
        sum += part;
    }
    return sum;
}

static double along_u(double u, void *context)
{
    integrand *f = context;
    f->u = u;
    return density(f, own(f->r->u, u), f->g) * pieces(along_w, f, f->r->w, f->at[1], f->inner);
}

static double by_quadrature(const ll_rectangle_sides *r, int degree, bool dipole, int g, int h,
                            double u, double w, double z)
{
    gsl_integration_workspace *outer = gsl_integration_workspace_alloc(200);
    integrand f = {r, degree, g, h, dipole, {u, w, z}, 0, gsl_integration_workspace_alloc(200)};
    const double sum = pieces(along_u, &f, r->u, u, outer) / (4 * LL_PI);
    gsl_integration_workspace_free(f.inner);
    gsl_integration_workspace_free(outer);
    return sum;
}

/* Largest difference from quadrature of all densities of one point, of the largest value. */
static double difference(const ll_rectangle_layers *layers, int degree, const ll_rectangle_sides *r,
                         const double at[3])
{
    double value[VALUES_MOST], most = 0, worst = 0;
    ll_rectangle_potentials(layers, r, 1, &at[0], &at[1], &at[2], value);
    for (int q = 0; q < ll_rectangle_values(degree); q++) {
        const bool dipole = q >= degree * degree;
        const int n = dipole ? degree + 1 : degree, k = dipole ? q - degree * degree : q;
        const double right = dipole && at[2] == 0 ? 0
                                                  : by_quadrature(r, degree, dipole, k / n, k % n,
                                                                  at[0], at[1], at[2]);
        most = fmax(most, fabs(right));
        worst = fmax(worst, fabs(value[q] - right));
    }
    return worst / most;
}

static const ll_rectangle_sides plain = {{-1, 2}, {0.5, 1.9}}, narrow = {{-1, 2}, {0.5, 0.62}},
                                upright = {{-1, -0.9}, {0.5, 1.9}};

static void check_points(int degree, double tolerance, const ll_rectangle_sides *r, size_t n,
                         const double (*at)[3], double limit)
{
    ll_rectangle_layers *layers;
    assert_ok(ll_rectangle_layers_new(degree, tolerance, &layers));
    for (size_t i = 0; i < n; i++) {
        const double off = difference(layers, degree, r, at[i]);
        if (!(off < limit))
            fail_msg("degree %d at %g %g %g: off by %.3g", degree, at[i][0], at[i][1], at[i][2],
                     off);
    }
    ll_rectangle_layers_free(layers);
}

/* Over the face, over an edge and a corner, on the plane within, beside and on the edge itself, and beyond the ends. */
static void closed_forms_match_quadrature_near_a_rectangle(void **state)
{
    (void)state;
    static const double at[][3] = {
        {0.3, 1.1, 0.02},  {0.3, 1.1, -0.4}, {-1, 0.5, 0.3},  {-1, 1.0, -0.01}, {1.9, 1.85, 1.2},
        {2.4, 2.1, 0.001}, {0.3, 1.1, 0},    {2.0, 1.0, 0},   {-1, 0.5, 0},     {2.2, 1.3, 0},
        {0.1, 0.5, 0},     {-1.7, 1.9, 0.2}, {0.7, 1.2, 1e-2}};
    for (int degree = 1; degree <= LL_DEGREE_MOST; degree += degree < 3 ? 1 : 2)
        check_points(degree, 1e-5, &plain, sizeof at / sizeof at[0], at, 2e-8);
}

/* Twenty-five and twenty-eight times as long as wide: closed along the long side, Gauss points across; the tolerance asked rules. */
static void half_closed_forms_match_quadrature_beside_narrow_rectangles(void **state)
{
    (void)state;
    static const double at[][3] = {{0.3, 0.9, 0.1}, {0.3, 0.56, -0.4}, {2.1, 0.2, 0.7},
                                   {-1.3, 0.9, 0},  {0.5, 0.4, 0.02},  {2.8, 0.56, 0.01}};
    static const double turned[][3] = {{-0.6, 1.2, 0.1}, {-0.95, 0.6, -0.4}, {-0.5, 2.1, 0.7},
                                       {-0.5, 0.3, 0},   {-1.2, 1.2, 0.02},  {-0.95, 2.8, 0.01}};
    for (int degree = 1; degree <= 3; degree++) {
        check_points(degree, 1e-5, &narrow, 6, at, 1e-5);
        check_points(degree, 1e-8, &narrow, 6, at, 3e-8);
        check_points(degree, 1e-8, &upright, 6, turned, 3e-8);
    }
}

static void gauss_points_keep_the_tolerance_asked_far_away(void **state)
{
    (void)state;
    static const double at[][3] = {{0.3, 1.1, 2.3}, {5, -3, 1.7},  {-4, 1, 0},
                                   {30, 20, -9},    {0, 300, 0.1}, {2.5, 3.9, -1.9}};
    for (int degree = 1; degree <= 3; degree++) {
        check_points(degree, 1e-5, &plain, 6, at, 5e-5);
        check_points(degree, 1e-8, &plain, 6, at, 5e-8);
    }
}

/* A path through all three ways: the third difference of a smooth function of steps of 0.001 is below 1e-6 of it, so what is seen
 * is a jump where the way changes, and no larger than the tolerance asked allows. */
static void nothing_jumps_where_the_way_changes(void **state)
{
    (void)state;
    ll_rectangle_layers *layers;
    assert_ok(ll_rectangle_layers_new(3, 1e-6, &layers));
    enum { STEPS = 4000 };
    static double u[STEPS], w[STEPS], z[STEPS], value[STEPS * VALUES_MOST];
    for (int i = 0; i < STEPS; i++) {
        u[i] = 0.3 + 0.0005 * i;
        w[i] = 0.56 + 0.0002 * i;
        z[i] = 0.1 + 0.001 * i;
    }
    ll_rectangle_potentials(layers, &narrow, STEPS, u, w, z, value);
    const int n = ll_rectangle_values(3);
    for (int q = 0; q < n; q++) {
        const double *v = value + q;
        for (int i = 1; i + 2 < STEPS; i++) {
            const double third =
                v[(i + 2) * n] - 3 * v[(i + 1) * n] + 3 * v[i * n] - v[(i - 1) * n];
            assert_close(third, 0, 1e-5 * fabs(value[i * n]));
        }
    }
    ll_rectangle_layers_free(layers);
}

/* Durand's textbook value: a square of side 1 with charge 1 has at its middle the potential ln(1 + sqrt 2) / pi. A face of a unit cube fills
 * a sixth of the sky seen from the cube's middle. */
static void a_square_has_its_textbook_potential_and_solid_angle(void **state)
{
    (void)state;
    const ll_rectangle_sides square = {{0, 1}, {0, 1}};
    ll_rectangle_layers *layers;
    assert_ok(ll_rectangle_layers_new(1, 1e-6, &layers));
    const double u[2] = {0.5, 0.5}, w[2] = {0.5, 0.5}, z[2] = {0, 0.5};
    double value[2][5];
    ll_rectangle_potentials(layers, &square, 2, u, w, z, value[0]);
    assert_relative(value[0][0], log(1 + sqrt(2)) / LL_PI, 1e-14);
    assert_relative(value[1][1] + value[1][2] + value[1][3] + value[1][4], 1 / 6.0, 1e-14);
    ll_rectangle_layers_free(layers);
}

/* A hair above or below the plane half the dipole density is seen, whatever its polynomial: the jump relation. */
static void the_double_layer_jumps_by_its_density(void **state)
{
    (void)state;
    for (int degree = 1; degree <= LL_DEGREE_MOST; degree++) {
        ll_rectangle_layers *layers;
        assert_ok(ll_rectangle_layers_new(degree, 1e-6, &layers));
        const double u[2] = {0.7, 0.7}, w[2] = {1.2, 1.2}, z[2] = {1e-9, -1e-9};
        double value[2][VALUES_MOST], nu[8], nw[8], slope[8];
        const int values = ll_rectangle_values(degree);
        ll_rectangle_potentials(layers, &plain, 2, u, w, z, value[0]);
        const double *below = value[0] + values;
        ll_shapes(degree, own(plain.u, u[0]), nu, slope);
        ll_shapes(degree, own(plain.w, w[0]), nw, slope);
        for (int g = 0; g <= degree; g++)
            for (int h = 0; h <= degree; h++) {
                const int q = degree * degree + g * (degree + 1) + h;
                assert_close(value[0][q], 0.5 * nu[g] * nw[h], 1e-8);
                assert_close(below[q], -0.5 * nu[g] * nw[h], 1e-8);
            }
        ll_rectangle_layers_free(layers);
    }
}

/* Many points at once, in any order and with odd ones left over, are what they are one by one. */
static void many_points_at_once_are_what_they_are_alone(void **state)
{
    (void)state;
    enum { N = 1237 };
    static double u[N], w[N], z[N], together[N * VALUES_MOST];
    ll_rectangle_layers *layers;
    assert_ok(ll_rectangle_layers_new(2, 1e-5, &layers));
    srand(5);
    for (int i = 0; i < N; i++) {
        u[i] = 6.0 * rand() / RAND_MAX - 3;
        w[i] = 6.0 * rand() / RAND_MAX - 3;
        z[i] = i % 7 ? 6.0 * rand() / RAND_MAX - 3 : 0;
    }
    const int n = ll_rectangle_values(2);
    ll_rectangle_potentials(layers, &plain, N, u, w, z, together);
    for (int i = 0; i < N; i++) {
        double alone[VALUES_MOST];
        ll_rectangle_potentials(layers, &plain, 1, &u[i], &w[i], &z[i], alone);
        for (int q = 0; q < n; q++)
            assert_close(together[i * n + q], alone[q], 1e-15);
    }
    ll_rectangle_layers_free(layers);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(closed_forms_match_quadrature_near_a_rectangle),
        cmocka_unit_test(half_closed_forms_match_quadrature_beside_narrow_rectangles),
        cmocka_unit_test(gauss_points_keep_the_tolerance_asked_far_away),
        cmocka_unit_test(nothing_jumps_where_the_way_changes),
        cmocka_unit_test(a_square_has_its_textbook_potential_and_solid_angle),
        cmocka_unit_test(the_double_layer_jumps_by_its_density),
        cmocka_unit_test(many_points_at_once_are_what_they_are_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
