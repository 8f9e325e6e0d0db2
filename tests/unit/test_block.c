/* test_block.c - blocks by elements of higher degree: against the mathematics of cubes, and what must hold.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "elements/block.h"
#include "elements/krylov.h"
#include "elements/legendre.h"
#include <stdlib.h>
#include <string.h>

/* A block of constant permeability, alone. */
typedef struct problem {
    ll_body_form *form;
    ll_body_factor *factor;
    double mu[3];
    double *h, *room;
} problem;

static ll_body_form *block_of(const double half[3], int degree, int finer)
{
    static double at[3][5];
    static const double share[] = {0, 0.45, 0.8, 0.95, 1};
    ll_block_options o = {.degree = degree, .finer = finer};
    for (int k = 0; k < 3; k++) {
        o.elements[k] = 4;
        o.at_m[k] = at[k];
        for (int i = 0; i < 5; i++)
            at[k][i] = half[k] * share[i];
    }
    ll_body_form *form;
    assert_ok(ll_block_new(&o, &form));
    return form;
}

static problem problem_of(ll_body_form *form, double mu_x, double mu_y, double mu_z)
{
    problem p = {form, NULL, {mu_x, mu_y, mu_z}, NULL, NULL};
    p.h = malloc(3 * form->places * sizeof *p.h);
    p.room = malloc(form->room_size * sizeof *p.room);
    double *tangent = calloc(6 * form->places, sizeof *tangent);
    assert_true(p.h && p.room && tangent);
    for (size_t i = 0; i < 3 * form->places; i++)
        tangent[i] = p.mu[i / form->places];
    assert_ok(form->kind->factorise(form, tangent, &p.factor));
    free(tangent);
    return p;
}

static void clear(problem *p)
{
    p->form->kind->free_factor(p->factor);
    free(p->h);
    free(p->room);
    ll_release(p->form);
}

/* y = the equations times x, nothing solved. */
static void apply(const problem *p, const double *x, double *y)
{
    const ll_body_form *f = p->form;
    memset(y, 0, ll_body_form_unknowns(f) * sizeof *y);
    f->kind->find_h(f, x, p->h, p->room);
    for (size_t i = 0; i < 3 * f->places; i++)
        p->h[i] *= p->mu[i / f->places];
    f->kind->test_flux(f, p->h, y, p->room);
    f->kind->add_charges(f, x + f->potentials, y);
    f->kind->add_own_surface(f, x, y + f->potentials);
}

static ll_status solved_product(void *context, const double *x, double *y)
{
    const problem *p = context;
    apply(p, x, y);
    return p->form->kind->solve(p->form, p->factor, 1, &y);
}

/* The answer to a potential at the surface points; the caller frees it. */
static double *answer(problem *p, double (*psi)(ll_vec3), size_t *steps)
{
    const ll_body_form *f = p->form;
    const size_t n = ll_body_form_unknowns(f);
    double *x = calloc(n, sizeof *x), *rhs = calloc(n, sizeof *rhs);
    double *at = malloc(f->surface * sizeof *at);
    assert_true(x && rhs && at);
    for (size_t i = 0; i < f->surface; i++)
        at[i] = psi(f->surface_m[i]);
    f->kind->test_surface(f, at, rhs + f->potentials);
    assert_ok(f->kind->solve(f, p->factor, 1, &rhs));
    assert_ok(ll_gmres(solved_product, p, n, rhs, 1e-10, 100, x, steps));
    free(rhs);
    free(at);
    return x;
}

static double field_along_z(ll_vec3 p)
{
    return -p.z;
}

static double field_askew(ll_vec3 p)
{
    return -0.7 * p.z - 0.4 * p.x + 0.2 * p.y;
}

/* A charge near a corner, outside every symmetry. */
static double field_of_a_charge(ll_vec3 p)
{
    return 1e-2 / ll_norm(ll_sub(p, ll_vec(0.9, 0.35, 0.6)));
}

/* Mean magnetisation along z of a block in a field of 1 A/m. */
static double magnetisation(problem *p, const double *x)
{
    const ll_body_form *f = p->form;
    double sum = 0, volume = 0;
    f->kind->find_h(f, x, p->h, p->room);
    for (size_t i = 0; i < f->places; i++) {
        sum += f->volume_m3[i] * (p->mu[2] - 1) * p->h[2 * f->places + i];
        volume += f->volume_m3[i];
    }
    return sum / volume;
}

static double polarizability_of_cube(int degree, double mu)
{
    static const double half[3] = {0.5, 0.5, 0.5};
    problem p = problem_of(block_of(half, degree, 0), mu, mu, mu);
    size_t steps;
    double *x = answer(&p, field_along_z, &steps);
    const double m = magnetisation(&p, x);
    free(x);
    clear(&p);
    return m;
}

/* A. Sihvola, P. Yla-Oijala, S. Jarvenpaa, J. Avelin, IEEE Trans. Antennas Propag. 52 (2004) 2226: the polarizability of a cube is
 * 3.6442 for an endless permittivity (from memory). For little susceptibility its demagnetising factor is 1/3 by symmetry. */
static void a_cube_is_polarised_as_in_the_literature(void **state)
{
    (void)state;
    assert_relative(polarizability_of_cube(3, 1e7), 3.6442, 5e-4);
    assert_relative(polarizability_of_cube(2, 1e7), 3.6442, 2e-3);
    const double chi = 1e-3;
    assert_relative(polarizability_of_cube(2, 1 + chi), chi / (1 + chi / 3), 1e-7);
}

static void higher_degrees_converge(void **state)
{
    (void)state;
    const double right = polarizability_of_cube(4, 1000);
    const double one = fabs(polarizability_of_cube(1, 1000) - right),
                 two = fabs(polarizability_of_cube(2, 1000) - right),
                 three = fabs(polarizability_of_cube(3, 1000) - right);
    assert_true(two < one / 4);
    assert_true(three < two / 2);
}

/* What makes field outside: layers of an answer. */
static double *layers_of(const problem *p, const double *x)
{
    double *layer = malloc(p->form->layers * sizeof *layer);
    assert_non_null(layer);
    p->form->kind->find_layers(p->form, x, layer);
    return layer;
}

static const double plate_like[3] = {0.8, 0.3, 0.5};

/* One product is enough for a law that is the same everywhere, along each axis its own: the factor is the matrix. */
static void fast_diagonalisation_solves_a_constant_tangent(void **state)
{
    (void)state;
    problem p = problem_of(block_of(plate_like, 2, 0), 300, 20, 1000);
    size_t steps;
    double *x = answer(&p, field_of_a_charge, &steps);
    assert_true(steps <= 1);
    free(x);
    clear(&p);
}

/* The same of a potential that is nearly the same all over a block of hard iron: its stiffness has no say on a constant. */
static double nearly_constant(ll_vec3 p)
{
    return 1000 + field_of_a_charge(p);
}

static void a_constant_potential_is_solved_as_well(void **state)
{
    (void)state;
    problem p = problem_of(block_of(plate_like, 2, 0), 1e4, 1e4, 1e4);
    size_t steps;
    double *x = answer(&p, nearly_constant, &steps);
    assert_true(steps <= 2); /* the second for rounding */
    free(x);
    clear(&p);
}

/* A field along z of a block about the origin is odd in z and even in x and y: one class of eight, exactly. */
static void parities_do_not_mix(void **state)
{
    (void)state;
    problem p = problem_of(block_of(plate_like, 2, 0), 50, 50, 50);
    size_t steps;
    double *x = answer(&p, field_along_z, &steps), *layer = layers_of(&p, x);
    const ll_vec3 at[4] = {{0.3, 0.2, 0.9}, {-0.3, 0.2, 0.9}, {0.3, -0.2, 0.9}, {0.3, 0.2, -0.9}};
    double potential[4] = {0};
    ll_vec3 h[4] = {{0, 0, 0}};
    p.form->kind->add_field(p.form, layer, 4, at, potential, h);
    for (int i = 1; i < 3; i++) {
        assert_relative(potential[i], potential[0], 1e-12);
        assert_relative(h[i].z, h[0].z, 1e-12);
    }
    assert_relative(potential[3], -potential[0], 1e-12);
    assert_relative(h[3].z, h[0].z, 1e-12);
    free(layer);
    free(x);
    clear(&p);
}

/* The same answer from a scene turned a quarter about z: x becomes y. */
static double turned_charge(ll_vec3 p)
{
    return field_of_a_charge(ll_vec(p.y, -p.x, p.z));
}

static void a_turned_block_in_a_turned_field_answers_alike(void **state)
{
    (void)state;
    const double half[3] = {plate_like[1], plate_like[0], plate_like[2]};
    problem p = problem_of(block_of(plate_like, 2, 0), 50, 50, 50),
            q = problem_of(block_of(half, 2, 0), 50, 50, 50);
    size_t steps;
    double *x = answer(&p, field_of_a_charge, &steps), *y = answer(&q, turned_charge, &steps);
    double *a = layers_of(&p, x), *b = layers_of(&q, y);
    const ll_vec3 at = {0.5, 0.6, -0.9}, turned = {-0.6, 0.5, -0.9};
    double u[2] = {0};
    p.form->kind->add_field(p.form, a, 1, &at, &u[0], NULL);
    q.form->kind->add_field(q.form, b, 1, &turned, &u[1], NULL);
    assert_relative(u[1], u[0], 1e-7);
    free(a);
    free(b);
    free(x);
    free(y);
    clear(&p);
    clear(&q);
}

/* Potentials by closed forms and by pieces agree; H is minus the gradient of the potential. */
static void rows_fields_and_potentials_agree(void **state)
{
    (void)state;
    problem p = problem_of(block_of(plate_like, 3, 0), 50, 50, 50);
    size_t steps;
    double *x = answer(&p, field_of_a_charge, &steps), *layer = layers_of(&p, x);
    const ll_body_form *f = p.form;
    static const ll_vec3 at[] = {{0.3, 0.2, 0.505}, {0.81, -0.1, 0.3}, {-1.4, 0.9, 0.2},
                                 {0.8, 0.31, 0.5},  {0, 0, -3},        {0.1, -0.34, 0.1}};
    enum { POINTS = sizeof at / sizeof at[0] };
    double *rows = malloc(POINTS * f->layers * sizeof *rows);
    assert_non_null(rows);
    f->kind->potential_rows(f, POINTS, at, rows);
    for (int i = 0; i < POINTS; i++) {
        double sum = 0, u[7] = {0};
        const double d = 1e-4;
        for (size_t k = 0; k < f->layers; k++)
            sum += rows[(size_t)i * f->layers + k] * layer[k];
        const ll_vec3 star[7] = {at[i],
                                 ll_add(at[i], ll_vec(d, 0, 0)),
                                 ll_sub(at[i], ll_vec(d, 0, 0)),
                                 ll_add(at[i], ll_vec(0, d, 0)),
                                 ll_sub(at[i], ll_vec(0, d, 0)),
                                 ll_add(at[i], ll_vec(0, 0, d)),
                                 ll_sub(at[i], ll_vec(0, 0, d))};
        ll_vec3 h = {0, 0, 0};
        f->kind->add_field(f, layer, 7, star, u, NULL);
        f->kind->add_field(f, layer, 1, &at[i], NULL, &h);
        const double size = ll_norm(h);
        assert_relative(u[0], sum, 2e-5);
        assert_close(h.x, (u[2] - u[1]) / (2 * d), 2e-3 * size);
        assert_close(h.y, (u[4] - u[3]) / (2 * d), 2e-3 * size);
        assert_close(h.z, (u[6] - u[5]) / (2 * d), 2e-3 * size);
    }
    free(rows);
    free(layer);
    free(x);
    clear(&p);
}

/* What leaves the block enters it; half of it passes the section in the middle. Areas are the geometry's own. */
static void planes_cut_sections_and_fluxes(void **state)
{
    (void)state;
    problem p = problem_of(block_of(plate_like, 2, 0), 50, 50, 50);
    size_t steps;
    double *x = answer(&p, field_askew, &steps);
    double flux, area;
    const ll_body_form *f = p.form;
    const ll_plane below = {{0, 0, 1}, -2}, middle = {{0, 0, 1}, 0}, tilted = {{0.6, 0, 0.8}, 0.1};
    f->kind->flux_beyond(f, x, &below, &flux, &area);
    const double lost = flux;
    assert_close(area, 0, 1e-12);
    f->kind->flux_beyond(f, x, &middle, &flux, &area);
    assert_relative(area, 4 * 0.8 * 0.3, 1e-12);
    assert_close(lost, 0, 1e-9 * flux);
    const ll_plane other = {{0, 0, -1}, 0};
    double back;
    f->kind->flux_beyond(f, x, &other, &back, &area);
    assert_relative(back, -flux, 1e-9);
    /* 0.6 x + 0.8 z = 0.1 cuts z = +-0.5 at x = -0.5 and 0.8333: it leaves by the side x = 0.8 at z = -0.475. */
    f->kind->flux_beyond(f, x, &tilted, &flux, &area);
    assert_relative(area, 0.6 * hypot(0.8 + 0.5, 0.975), 1e-12);
    /* The faces that it cuts are shared out: what is beyond and what is not are all of it, and none leaves in sum. */
    const ll_plane tilted_back = {{-0.6, 0, -0.8}, -0.1};
    f->kind->flux_beyond(f, x, &tilted_back, &back, &area);
    assert_relative(back, -flux, 1e-9);
    free(x);
    clear(&p);
}

/* H from the point function is that at the places. */
static void fields_at_points_are_those_at_the_places(void **state)
{
    (void)state;
    problem p = problem_of(block_of(plate_like, 2, 0), 50, 50, 50);
    const ll_body_form *f = p.form;
    size_t steps;
    double *x = answer(&p, field_of_a_charge, &steps);
    f->kind->find_h(f, x, p.h, p.room);
    for (size_t i = 0; i < f->places; i += 997) {
        const ll_vec3 h = f->kind->h_at(f, x, f->place_m[i]);
        const double scale = 1e-12 + 1e-9 * ll_norm(h);
        assert_close(h.x, p.h[i], scale);
        assert_close(h.y, p.h[f->places + i], scale);
        assert_close(h.z, p.h[2 * f->places + i], scale);
    }
    free(x);
    clear(&p);
}

/* A raised answer is the same function: same fields outside and inside. */
static void a_raised_answer_is_the_same_function(void **state)
{
    (void)state;
    problem p = problem_of(block_of(plate_like, 2, 0), 50, 50, 50);
    ll_body_form *higher = block_of(plate_like, 3, 0);
    size_t steps;
    double *x = answer(&p, field_of_a_charge, &steps), *layer = layers_of(&p, x);
    double *y = malloc(ll_body_form_unknowns(higher) * sizeof *y),
           *raised = malloc(higher->layers * sizeof *raised);
    assert_true(y && raised);
    p.form->kind->raise(p.form, x, higher, y);
    higher->kind->find_layers(higher, y, raised);
    const ll_vec3 at = {0.7, 0.4, 0.6}, in = {-0.31, 0.11, 0.22};
    ll_vec3 a = {0, 0, 0}, b = {0, 0, 0};
    p.form->kind->add_field(p.form, layer, 1, &at, NULL, &a);
    higher->kind->add_field(higher, raised, 1, &at, NULL, &b);
    assert_close(ll_norm(ll_sub(a, b)), 0, 2e-5 * ll_norm(a));
    const ll_vec3 c = p.form->kind->h_at(p.form, x, in), d = higher->kind->h_at(higher, y, in);
    assert_close(ll_norm(ll_sub(c, d)), 0, 1e-12 * ll_norm(c));
    free(y);
    free(raised);
    free(layer);
    free(x);
    ll_release(higher);
    clear(&p);
}

/* w and lambda at the surface points: the charges' mean of their moments, and the potential outside less what the jump takes. */
static void traces_are_those_of_the_unknowns(void **state)
{
    (void)state;
    problem p = problem_of(block_of(plate_like, 2, 0), 1, 1, 1);
    const ll_body_form *f = p.form;
    size_t steps;
    /* mu 1: nothing is there, so w is the source's own potential and lambda its H along the normal. */
    double *x = answer(&p, field_askew, &steps);
    double *w = malloc(f->surface * sizeof *w), *lambda = malloc(f->surface * sizeof *lambda);
    assert_true(w && lambda);
    f->kind->trace(f, x, w, lambda);
    const ll_vec3 h = {0.4, -0.2, 0.7};
    double area = 0;
    for (size_t i = 0; i < f->surface; i++) {
        assert_close(w[i], field_askew(f->surface_m[i]), 1e-5);
        assert_close(lambda[i], ll_dot(h, f->normal[i]), 2e-4);
        area += f->area_m2[i];
    }
    assert_relative(area, 8 * (0.8 * 0.3 + 0.3 * 0.5 + 0.5 * 0.8), 1e-12);
    free(w);
    free(lambda);
    free(x);
    clear(&p);
}

static void meshes_that_are_none_are_refused(void **state)
{
    (void)state;
    static const double good[] = {0, 1, 2}, falling[] = {0, 2, 1}, late[] = {0.1, 1, 2};
    ll_body_form *form = NULL;
    ll_block_options o = {{2, 2, 2}, {good, good, good}, 2, 0};
    o.degree = LL_DEGREE_MOST + 1;
    assert_int_equal(ll_block_new(&o, &form), LL_BAD_VALUE);
    o.degree = 2;
    o.at_m[1] = falling;
    assert_int_equal(ll_block_new(&o, &form), LL_BAD_VALUE);
    o.at_m[1] = late;
    assert_int_equal(ll_block_new(&o, &form), LL_BAD_VALUE);
    assert_null(form);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_cube_is_polarised_as_in_the_literature),
        cmocka_unit_test(higher_degrees_converge),
        cmocka_unit_test(fast_diagonalisation_solves_a_constant_tangent),
        cmocka_unit_test(a_constant_potential_is_solved_as_well),
        cmocka_unit_test(parities_do_not_mix),
        cmocka_unit_test(a_turned_block_in_a_turned_field_answers_alike),
        cmocka_unit_test(rows_fields_and_potentials_agree),
        cmocka_unit_test(planes_cut_sections_and_fluxes),
        cmocka_unit_test(fields_at_points_are_those_at_the_places),
        cmocka_unit_test(a_raised_answer_is_the_same_function),
        cmocka_unit_test(traces_are_those_of_the_unknowns),
        cmocka_unit_test(meshes_that_are_none_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
