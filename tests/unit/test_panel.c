/* test_panel.c - potentials of charged triangles against quadrature, Green's identity and each other.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "field/panel.h"
#include <stdlib.h>

static const ll_vec3 corner[3] = {{0.2, -0.1, 0.3}, {1.4, 0.2, 0.1}, {0.5, 0.9, -0.2}};

static ll_panels *one_triangle(const ll_vec3 node[3])
{
    static const int list[1][3] = {{0, 1, 2}};
    ll_panels *panels;
    assert_ok(ll_panels_new(1, list, node, &panels));
    return panels;
}

static ll_vec3 blend(const double share[3])
{
    return ll_add(ll_scale(share[0], corner[0]),
                  ll_add(ll_scale(share[1], corner[1]), ll_scale(share[2], corner[2])));
}

/* Adds both layers of the small triangle with the given barycentric corners, by the three midpoints of its edges. */
static void add_piece(const double (*piece)[3], ll_vec3 n, double area, ll_vec3 p, double *sum)
{
    for (int e = 0; e < 3; e++) {
        double share[3];
        for (int k = 0; k < 3; k++)
            share[k] = 0.5 * (piece[e][k] + piece[(e + 1) % 3][k]);
        const ll_vec3 d = ll_sub(p, blend(share));
        const double r = ll_norm(d), weight = area / 3 / (4 * LL_PI);
        for (int k = 0; k < 3; k++) {
            sum[k] += weight * share[k] / r;
            sum[3 + k] += weight * share[k] * ll_dot(d, n) / (r * r * r);
        }
    }
}

/* Both layers by cutting the triangle into parts^2 equal ones: error of fourth order. */
static void quadrature(int parts, ll_vec3 n, double area, ll_vec3 p, double sum[6])
{
    const double h = 1.0 / parts;
    for (int k = 0; k < 6; k++)
        sum[k] = 0;
    for (int i = 0; i < parts; i++)
        for (int j = 0; j < parts - i; j++) {
            const double a = i * h, b = j * h;
            const double up[3][3] = {
                {a, b, 1 - a - b}, {a + h, b, 1 - a - b - h}, {a, b + h, 1 - a - b - h}};
            const double down[3][3] = {{a + h, b + h, 1 - a - b - 2 * h},
                                       {a, b + h, 1 - a - b - h},
                                       {a + h, b, 1 - a - b - h}};
            add_piece(up, n, area * h * h, p, sum);
            if (j < parts - i - 1)
                add_piece(down, n, area * h * h, p, sum);
        }
}

/* Richardson's extrapolation of the fourth-order rule leaves about 1e-10 at distances of a third of an edge. */
static void potentials_match_quadrature(void **state)
{
    (void)state;
    ll_panels *panels = one_triangle(corner);
    const ll_vec3 n = ll_panels_normal(panels, 0);
    const double area = ll_panels_area(panels, 0);
    static const double height[] = {-2, -0.4, 0.35, 1, 5};
    static const double place[][3] = {{0.3, 0.3, 0.4}, {0, 0.5, 0.5}, {1, 0, 0}, {1.5, 0.3, -0.8}};
    for (int i = 0; i < 5; i++)
        for (int j = 0; j < 4; j++) {
            const ll_vec3 p = ll_add(blend(place[j]), ll_scale(height[i], n));
            double s[3], d[3], coarse[6], fine[6];
            ll_panel_potentials(panels, 0, 0, 1, &p.x, &p.y, &p.z, s, d);
            quadrature(64, n, area, p, coarse);
            quadrature(128, n, area, p, fine);
            for (int k = 0; k < 3; k++) {
                assert_close(s[k], fine[k] + (fine[k] - coarse[k]) / 15, 1e-10);
                assert_close(d[k], fine[3 + k] + (fine[3 + k] - coarse[3 + k]) / 15, 1e-9);
            }
        }
    ll_panels_free(panels);
}

/* Textbook: the line integrals over three sides of an equilateral triangle of side 1 seen from its middle:
 * integral dS / R = (sqrt 3 / 2) ln((2 + sqrt 3) / (2 - sqrt 3)). On the plane the double layer vanishes. */
static void equilateral_triangle_has_its_textbook_potential_at_the_middle(void **state)
{
    (void)state;
    const ll_vec3 node[3] = {{0, 0, 0}, {1, 0, 0}, {0.5, sqrt(3) / 2, 0}};
    ll_panels *panels = one_triangle(node);
    const ll_vec3 p = ll_vec(0.5, sqrt(3) / 6, 0);
    double s[3], d[3];
    ll_panel_potentials(panels, 0, 0, 1, &p.x, &p.y, &p.z, s, d);
    const double whole = sqrt(3) / 2 * log((2 + sqrt(3)) / (2 - sqrt(3))) / (4 * LL_PI);
    for (int k = 0; k < 3; k++) {
        assert_relative(s[k], whole / 3, 1e-13);
        assert_close(d[k], 0, 0);
    }
    ll_panels_free(panels);
}

static void far_away_a_panel_is_a_charge_and_a_dipole(void **state)
{
    (void)state;
    ll_panels *panels = one_triangle(corner);
    const double thirds[3] = {1 / 3.0, 1 / 3.0, 1 / 3.0};
    const ll_vec3 way = ll_vec(30, -50, 80), p = ll_add(blend(thirds), way);
    const double r = ll_norm(way), area = ll_panels_area(panels, 0);
    double s[3], d[3];
    ll_panel_potentials(panels, 0, 0, 1, &p.x, &p.y, &p.z, s, d);
    /* From the centroid the next term is of the order (edge / r)^2. */
    assert_relative(s[0] + s[1] + s[2], area / (4 * LL_PI * r), 1e-4);
    assert_relative(d[0] + d[1] + d[2],
                    area * ll_dot(way, ll_panels_normal(panels, 0)) / (4 * LL_PI * r * r * r),
                    1e-3);
    ll_panels_free(panels);
}

/* A rule exact for quadratics on a triangle of radius a: the first terms left out are of third order in a / distance. */
static void three_points_stand_for_a_panel_some_radii_away(void **state)
{
    (void)state;
    ll_panels *panels = one_triangle(corner);
    const ll_vec3 centre = ll_panels_centre(panels, 0);
    const double a = ll_panels_radius(panels, 0), area = ll_panels_area(panels, 0);
    double furthest = 0;
    for (int k = 0; k < 3; k++)
        furthest = fmax(furthest, ll_norm(ll_sub(corner[k], centre)));
    assert_close(a, furthest, 1e-15);
    for (int r = 3; r < 50; r *= 2)
        for (int w = 0; w < 8; w++) {
            const ll_vec3 way = ll_vec(w & 1 ? 0.3 : -0.8, w & 2 ? 0.5 : -0.6, w & 4 ? 0.9 : -0.2);
            const ll_vec3 p = ll_add(centre, ll_scale(r * a / ll_norm(way), way));
            double s[3], d[3], afar_s[3], afar_d[3];
            ll_panel_potentials(panels, 0, 0, 1, &p.x, &p.y, &p.z, s, d);
            ll_panel_potentials_afar(panels, 0, 1, &p.x, &p.y, &p.z, afar_s, afar_d);
            const double whole = area / (4 * LL_PI * r * a), share = 1.0 / (r * r * r);
            for (int k = 0; k < 3; k++) {
                assert_close(afar_s[k], s[k], 0.3 * whole * share);
                assert_close(afar_d[k], d[k], whole / (r * a) * share);
            }
        }
    ll_panels_free(panels);
}

/* Where two solids touch, each sees the other's panels from a given height above their plane. */
static void contact_lifts_points_off_the_plane(void **state)
{
    (void)state;
    ll_panels *panels = one_triangle(corner);
    const double contact = 0.01, place[3] = {0.3, 0.3, 0.4};
    const ll_vec3 n = ll_panels_normal(panels, 0), on = blend(place);
    const ll_vec3 lifted = ll_add(on, ll_scale(contact, n));
    double s[3], d[3], there_s[3], there_d[3];
    ll_panel_potentials(panels, 0, 0, 1, &lifted.x, &lifted.y, &lifted.z, there_s, there_d);
    for (double h = -0.9; h < 1; h += 0.3) {
        const ll_vec3 p = ll_add(on, ll_scale(h * contact, n));
        ll_panel_potentials(panels, 0, contact, 1, &p.x, &p.y, &p.z, s, d);
        for (int k = 0; k < 3; k++) {
            assert_close(d[k], there_d[k], 1e-3);
            assert_close(s[k], there_s[k], 1e-2 * there_s[k] + 1e-3);
        }
    }
    const ll_vec3 below = ll_sub(on, ll_scale(2 * contact, n));
    ll_panel_potentials(panels, 0, contact, 1, &below.x, &below.y, &below.z, s, d);
    ll_panel_potentials(panels, 0, 0, 1, &below.x, &below.y, &below.z, there_s, there_d);
    for (int k = 0; k < 3; k++) {
        assert_close(s[k], there_s[k], 0);
        assert_close(d[k], there_d[k], 0);
    }
    ll_panels_free(panels);
}

/* ---- closed surfaces ---- */

/* A block of 1 x 0.6 x 0.4: node bits 0, 1, 2 tell the sides along x, y, z. */
enum { NODES = 8, TRIANGLES = 12 };
static const int box[TRIANGLES][3] = {{0, 4, 6}, {0, 6, 2}, {1, 3, 7}, {1, 7, 5},
                                      {0, 1, 5}, {0, 5, 4}, {2, 6, 7}, {2, 7, 3},
                                      {0, 2, 3}, {0, 3, 1}, {4, 5, 7}, {4, 7, 6}};

typedef struct solid {
    ll_vec3 node[NODES];
    ll_panels *panels;
    double charge[3 * TRIANGLES], dipole[3 * TRIANGLES];
} solid;

static solid block(void)
{
    solid s = {.panels = NULL};
    for (int i = 0; i < NODES; i++)
        s.node[i] = ll_vec((i & 1) - 0.5, 0.3 * (i & 2) - 0.3, 0.1 * (i & 4) - 0.2);
    assert_ok(ll_panels_new(TRIANGLES, box, s.node, &s.panels));
    return s;
}

static void solid_free(solid *s)
{
    ll_panels_free(s->panels);
}

static double potential(const solid *s, ll_vec3 p)
{
    double sum = 0, single[3], dbl[3];
    for (size_t i = 0; i < TRIANGLES; i++) {
        ll_panel_potentials(s->panels, i, 0, 1, &p.x, &p.y, &p.z, single, dbl);
        for (int k = 0; k < 3; k++)
            sum += single[k] * s->charge[3 * i + k] + dbl[k] * s->dipole[3 * i + k];
    }
    return sum;
}

static const ll_vec3 inside[] = {{0, 0, 0}, {0.4, -0.2, 0.1}, {-0.49, 0.29, -0.19}};
static const ll_vec3 outside[] = {{0, 0, 0.21}, {0.7, -0.2, 0.1}, {-3, 2, 5}, {0.501, 0.301, 0.2}};

static ll_vec3 field_at(const solid *s, ll_vec3 at)
{
    ll_vec3 h = {0, 0, 0};
    ll_panels_field(s->panels, s->charge, s->dipole, 1, &at, &h);
    return h;
}

/* Gauss: a unit dipole layer on a closed surface is -1 inside, 0 outside, -1/2 on a smooth piece. */
static void unit_dipole_layer_is_minus_one_inside_and_nothing_outside(void **state)
{
    (void)state;
    solid s = block();
    for (size_t i = 0; i < 3 * TRIANGLES; i++)
        s.dipole[i] = 1;
    for (int i = 0; i < 3; i++)
        assert_close(potential(&s, inside[i]), -1, 1e-12);
    for (int i = 0; i < 4; i++)
        assert_close(potential(&s, outside[i]), 0, 1e-12);
    assert_close(potential(&s, ll_vec(0.123, 0.0456, 0.2)), -0.5, 1e-12);
    solid_free(&s);
}

/* Green's third identity: u = S du/dn - K u inside and 0 outside for a harmonic u. A linear u with a constant slope on
 * each face is held by the layers exactly, so only rounding is left. */
static void layers_of_a_linear_potential_give_it_back_inside_and_cancel_outside(void **state)
{
    (void)state;
    const ll_vec3 slope = ll_vec(0.7, -1.3, 0.4);
    solid s = block();
    for (size_t i = 0; i < TRIANGLES; i++)
        for (int k = 0; k < 3; k++) {
            s.charge[3 * i + k] = ll_dot(slope, ll_panels_normal(s.panels, i));
            s.dipole[3 * i + k] = -ll_dot(slope, s.node[box[i][k]]);
        }
    for (int i = 0; i < 3; i++) {
        const ll_vec3 h = field_at(&s, inside[i]);
        assert_close(potential(&s, inside[i]), ll_dot(slope, inside[i]), 1e-12);
        assert_close(ll_norm(ll_add(h, slope)), 0, 1e-10);
    }
    for (int i = 0; i < 4; i++) {
        assert_close(potential(&s, outside[i]), 0, 1e-12);
        /* Far panels are seen as three points each: what does not cancel is 1e-4 of one panel's field there. */
        assert_close(ll_norm(field_at(&s, outside[i])), 0, 1e-8);
    }
    solid_free(&s);
}

static double slope_along(const solid *s, ll_vec3 p, ll_vec3 way)
{
    const double step = 1e-3;
    const double near =
        potential(s, ll_add(p, ll_scale(step, way))) - potential(s, ll_sub(p, ll_scale(step, way)));
    const double wide = potential(s, ll_add(p, ll_scale(2 * step, way))) -
                        potential(s, ll_sub(p, ll_scale(2 * step, way)));
    return (8 * near - wide) / (12 * step);
}

/* Charges that jump from panel to panel, dipoles that are continuous: fourth-order differences of step 1e-3. */
static void field_is_minus_the_gradient_of_the_potential(void **state)
{
    (void)state;
    static const ll_vec3 points[] = {
        {0, 0, 0.05}, {0.3, -0.2, -0.08}, {0, 0, 0.3}, {0.8, -0.2, 0.1}, {-2, 1, 3}};
    solid s = block();
    srand(11);
    for (size_t i = 0; i < TRIANGLES; i++)
        for (int k = 0; k < 3; k++) {
            s.charge[3 * i + k] = rand() / (double)RAND_MAX - 0.3;
            s.dipole[3 * i + k] = sin(2.3 * box[i][k]);
        }
    for (size_t i = 0; i < sizeof points / sizeof points[0]; i++) {
        const ll_vec3 h = field_at(&s, points[i]);
        assert_close(h.x, -slope_along(&s, points[i], ll_vec(1, 0, 0)), 1e-6);
        assert_close(h.y, -slope_along(&s, points[i], ll_vec(0, 1, 0)), 1e-6);
        assert_close(h.z, -slope_along(&s, points[i], ll_vec(0, 0, 1)), 1e-6);
    }
    solid_free(&s);
}

/* On edges, corners and their extensions the logarithms are singular; the potential is not. */
static void potential_stays_finite_on_edges_and_corners(void **state)
{
    (void)state;
    ll_panels *panels = one_triangle(corner);
    static const double place[][3] = {{1, 0, 0}, {0, 0.5, 0.5}, {0, -1, 2}, {2, 0, -1}};
    for (int i = 0; i < 4; i++) {
        const ll_vec3 p = blend(place[i]), q = ll_add(p, ll_vec(1e-7, 2e-7, -1e-7));
        double s[3], d[3], s_near[3], d_near[3];
        ll_panel_potentials(panels, 0, 0, 1, &p.x, &p.y, &p.z, s, d);
        ll_panel_potentials(panels, 0, 0, 1, &q.x, &q.y, &q.z, s_near, d_near);
        for (int k = 0; k < 3; k++) {
            assert_true(isfinite(d[k]));
            assert_close(s[k], s_near[k], 1e-5);
        }
    }
    ll_panels_free(panels);
}

static void many_points_at_once_give_what_single_ones_give(void **state)
{
    (void)state;
    enum { N = 13 };
    ll_panels *panels = one_triangle(corner);
    double x[N], y[N], z[N], s[3 * N], d[3 * N];
    for (int i = 0; i < N; i++) {
        x[i] = 0.1 * i;
        y[i] = 0.5 - 0.07 * i;
        z[i] = 0.9 + 0.01 * i * i;
    }
    ll_panel_potentials(panels, 0, 0, N, x, y, z, s, d);
    for (int i = 0; i < N; i++) {
        double one_s[3], one_d[3];
        ll_panel_potentials(panels, 0, 0, 1, x + i, y + i, z + i, one_s, one_d);
        for (int k = 0; k < 3; k++) {
            assert_close(s[k * N + i], one_s[k], 1e-14);
            assert_close(d[k * N + i], one_d[k], 1e-14);
        }
    }
    ll_panels_free(panels);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(potentials_match_quadrature),
        cmocka_unit_test(equilateral_triangle_has_its_textbook_potential_at_the_middle),
        cmocka_unit_test(far_away_a_panel_is_a_charge_and_a_dipole),
        cmocka_unit_test(three_points_stand_for_a_panel_some_radii_away),
        cmocka_unit_test(contact_lifts_points_off_the_plane),
        cmocka_unit_test(unit_dipole_layer_is_minus_one_inside_and_nothing_outside),
        cmocka_unit_test(layers_of_a_linear_potential_give_it_back_inside_and_cancel_outside),
        cmocka_unit_test(field_is_minus_the_gradient_of_the_potential),
        cmocka_unit_test(potential_stays_finite_on_edges_and_corners),
        cmocka_unit_test(many_points_at_once_give_what_single_ones_give),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
