/* Complex permeability of bars: H in the section obeys laplace H = kappa^2 H, kappa^2 = j w mu sigma, with H given around it. The flux of
 * the section over that which H would drive alone is the factor of the permeability along the bar:
 * 
 *   round       2 I1(kappa a) / (kappa a I0(kappa a))
 *   tube        the same with E around the hole set by the hole's own flux, by Riccati's equation for H' / H
 *   plate       tanh(kappa b) / (kappa b)
 *   rectangle   the plate, and a series that brings H = 1 at its two other edges
 * 
 * A long bar is meant: near its ends currents cross the axis, which costs bars no longer than wide 13 % (README).
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/skin.h"
#include "base/constants.h"
#include "eddies/leaf.h"
#include "scene/scene_data.h"

#include <stdlib.h>

double complex ll_skin_kappa(double f_hz, double mu_r, double conductivity_s_m)
{
    const double depth_m = sqrt(1 / (LL_PI * f_hz * LL_MU0 * mu_r * conductivity_s_m));
    return (1 + I) / depth_m;
}

/* ---- round bars ---- */

/* I1(z) / I0(z) by the continued fraction 1 / (2/z + 1 / (4/z + 1 / (6/z + ...))) (Abramowitz and Stegun 9.1.73 for
 * imaginary arguments). It needs about |z| terms. */
static double complex bessel_ratio(double complex z)
{
    double complex below = 0;
    for (int m = 16 + (int)(2 * fmin(cabs(z), 1e4)); m > 0; m--)
        below = 1 / (2 * m / z + below);
    return below;
}

/* exp(-z) I0(z), Re z >= 0: the power series, and the asymptotic one where that would cancel (A. and S. 9.6.12, 9.7.1). */
static double complex scaled_bessel(double complex z)
{
    const bool far = cabs(z) > 18;
    double complex sum = 1, term = 1;
    for (int m = 1; m < (far ? 12 : 80); m++) {
        term *= far ? (2.0 * m - 1) * (2 * m - 1) / (8 * m * z) : z * z / 4 / (double)(m * m);
        sum += term;
    }
    return far ? sum / csqrt(2 * LL_PI * z) : sum * cexp(-z);
}

/* Below 1e-6 the ratio is 1 to all digits. */
double complex ll_skin_round(double complex kappa, double a)
{
    const double complex z = kappa * a;
    return cabs(z) < 1e-6 ? 1 : 2 * bessel_ratio(z) / z;
}

/* Flux within r over 2 pi, for H = 1 at a: r I1(kappa r) / (kappa I0(kappa a)). */
static double complex flux_within(double complex kappa, double a, double r)
{
    if (r <= 0)
        return 0;
    return r / kappa * bessel_ratio(kappa * r) * scaled_bessel(kappa * r) /
           scaled_bessel(kappa * a) * cexp(kappa * (r - a));
}

/* The flux between two radii over its area: what the elements of a bar of low permeability have each by itself. */
double complex ll_skin_annulus(double complex kappa, double a, double r1, double r2)
{
    r2 = fmin(r2, a);
    r1 = fmax(0, fmin(r1, r2 * (1 - 1e-6)));
    if (cabs(kappa * a) < 1e-3)
        return 1;
    return 2 * (flux_within(kappa, a, r2) - flux_within(kappa, a, r1)) / (r2 * r2 - r1 * r1);
}

/* y = H' / H obeys y' = kappa^2 - y / r - y^2, which draws every start to the growing solution, so that Runge and Kutta's
 * steps outwards are stable. */
static double complex slope_of(double complex kappa, double r, double complex y)
{
    return kappa * kappa - y / r - y * y;
}

/* Outwards from the hole: y = H' / H and the growth of H together, then the flux of the wall by Ampere's law in its differential form,
 * integral H r dr = (r H' at a less r H' at b) / kappa^2. */
double complex ll_skin_tube(double complex kappa, double mu_r, double a, double b)
{
    const int steps = 100 + (int)(8 * fmin(cabs(kappa) * (a - b), 1e4));
    const double h = (a - b) / steps;
    /* E around the hole is what its flux induces: H'(b) = kappa^2 b H(b) / (2 mu). */
    const double complex start = kappa * kappa * b / (2 * mu_r);
    double complex y = start, growth = 0;
    for (int i = 0; i < steps; i++) {
        const double r = b + i * h;
        const double complex k1 = slope_of(kappa, r, y);
        const double complex k2 = slope_of(kappa, r + h / 2, y + h / 2 * k1);
        const double complex k3 = slope_of(kappa, r + h / 2, y + h / 2 * k2);
        const double complex k4 = slope_of(kappa, r + h, y + h * k3);
        const double complex step = h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
        growth += h * (y + (k1 + k2 + k3) * h / 6);
        y += step;
    }
    return 2 * (a * y - b * start * cexp(-growth)) / (kappa * kappa * (a * a - b * b));
}

/* ---- flat bars ---- */

/* tanh for large arguments too. */
static double complex tanh_of(double complex z)
{
    return creal(z) > 20 ? 1 : ctanh(z);
}

/* An infinite plate of half thickness b, and what its ends at +-a add: a series over the odd cosines across b. */
double complex ll_skin_rectangle(double complex kappa, double a, double b)
{
    if (a < b)
        return ll_skin_rectangle(kappa, b, a);
    if (cabs(kappa * a) < 1e-6)
        return 1;
    double complex sum = tanh_of(kappa * b) / (kappa * b);
    const int terms = 40 + (int)fmin(cabs(kappa * b), 1e3);
    for (int m = 0; m < terms; m++) {
        const double n = 2 * m + 1, q = n * LL_PI / (2 * b);
        const double complex g = csqrt(kappa * kappa + q * q);
        sum += 8 / (n * n * LL_PI * LL_PI) * kappa * kappa / (g * g) * tanh_of(g * a) / (g * a);
    }
    return sum;
}

/* H = cosh(kappa s) / cosh(kappa b) across the plate, its mean between two heights. */
double complex ll_skin_plate(double complex kappa, double b, double s1, double s2)
{
    if (cabs(kappa * b) < 1e-3)
        return 1;
    /* sinh(kappa s) / cosh(kappa b) without large figures. */
    const double complex below = 1 + cexp(-2 * kappa * b);
    const double complex up = (cexp(kappa * (s2 - b)) - cexp(kappa * (-s2 - b))) / below;
    const double complex down = (cexp(kappa * (s1 - b)) - cexp(kappa * (-s1 - b))) / below;
    return (up - down) / (kappa * (s2 - s1));
}

/* ---- bodies ---- */

/* A region of a body as a conducting bar: its shape in the body's axes. */
typedef struct ll_bar {
    const ll_shape *shape;
    const ll_pose *pose;
    double conductivity_s_m;
    double mu[3];   /* mean relative permeability along the body's axes */
    double edge[3]; /* of a block, along the body's axes */
    double
        corner; /* of a round piece: radius of its polygon's corners over that of the circle of the same area */
} ll_bar;

/* Between low and high permeability. In a bar of low permeability the flux is as uneven across a section as the field it
 * is in, and the profile of the long bar is right place by place; in one of high permeability the potential is even
 * across the section, and the profile's mean is (finite elements, tests/reference/decks). */
static const double even_mu = 30;

static double conductivity_of(const ll_body *body, const ll_scene *scene, size_t region)
{
    return ll_material_conductivity_s_m(scene->part[body->region[region].part].material);
}

bool ll_skin_conducts(const ll_body *body, const ll_scene *scene)
{
    for (size_t r = 0; r < body->regions; r++)
        if (conductivity_of(body, scene, r) > 0 && body->kind != LL_CHARGES)
            return true;
    return false;
}

/* A block's edges in the order of the body's axes, from which it is turned by quarter turns, or about z. */
static void place_edges(ll_bar *bar)
{
    const ll_rotation *turn = &bar->pose->rotation;
    const double own[3] = {bar->shape->size_m.x, bar->shape->size_m.y, bar->shape->size_m.z};
    for (int i = 0; i < 3; i++) {
        int nearest = 0;
        for (int k = 1; k < 3; k++)
            if (fabs(turn->m[i][k]) > fabs(turn->m[i][nearest]))
                nearest = k;
        bar->edge[i] = own[nearest];
    }
}

/* The small-signal tensor's diagonal along the mesh's axes; the form's frame is that of its first piece, so they are those of
 * the bars. */
static void reversible_axes(const ll_body *body, size_t t, const double *w, double mu[3])
{
    const ll_tensor tensor = ll_body_reversible(body, t, ll_body_h(body, t, w));
    const double axis[3] = {tensor.axis.x, tensor.axis.y, tensor.axis.z};
    for (int i = 0; i < 3; i++)
        mu[i] = tensor.across + tensor.extra * axis[i] * axis[i];
}

/* Factors along the three axes for a tetrahedron that reaches from `low` to `high` in the shape's own frame. */
static void round_factors(const ll_bar *bar, double f_hz, double r1, double r2, double radius,
                          double complex factor[3])
{
    const ll_shape *shape = bar->shape;
    const double complex kappa = ll_skin_kappa(f_hz, bar->mu[2], bar->conductivity_s_m);
    factor[0] = factor[1] = 1;
    if (shape->kind == LL_RING) {
        factor[2] = ll_skin_tube(kappa, bar->mu[2], radius, shape->inner_radius_m);
        return;
    }
    const double uneven = 1 / (1 + pow(bar->mu[2] / even_mu, 2));
    factor[2] = (1 - uneven) * ll_skin_round(kappa, radius);
    if (uneven > 1e-3)
        factor[2] += uneven * ll_skin_annulus(kappa, radius, r1, r2);
}

/* Whether axis i is the thickness of a plate. */
static bool is_across_plate(const ll_bar *bar, int i)
{
    return bar->edge[i] < LL_PLATE_SHARE * fmin(bar->edge[(i + 1) % 3], bar->edge[(i + 2) % 3]);
}

static void block_factors(const ll_bar *bar, double f_hz, double complex factor[3])
{
    /* What passes through a plate drives currents that are not in the permeability: see plate.h. */
    for (int i = 0; i < 3; i++)
        factor[i] = is_across_plate(bar, i)
                        ? 1
                        : ll_skin_rectangle(ll_skin_kappa(f_hz, bar->mu[i], bar->conductivity_s_m),
                                            bar->edge[(i + 1) % 3] / 2, bar->edge[(i + 2) % 3] / 2);
}

typedef struct ll_extent {
    double low_z, high_z, low_r, high_r;
} ll_extent;

/* Where a tetrahedron lies in its shape: heights along the axis and radii. */
static ll_extent extent_of(const ll_mesh *mesh, size_t t, const ll_pose *pose)
{
    ll_extent e = {HUGE_VAL, -HUGE_VAL, HUGE_VAL, 0};
    for (int k = 0; k < 4; k++) {
        const ll_vec3 p = ll_to_own(pose, mesh->node_m[mesh->tet[t][k]]);
        const double r = hypot(p.x, p.y);
        e = (ll_extent){fmin(e.low_z, p.z), fmax(e.high_z, p.z), fmin(e.low_r, r),
                        fmax(e.high_r, r)};
    }
    return e;
}

/* By shape: a block, a disc (a plate whose flux lies in it), a rod, ring or screw. A screw's head takes its own radius. */
static void factors_of(const ll_bar *bar, const ll_mesh *mesh, size_t t, double f_hz,
                       double complex factor[3])
{
    const ll_shape *shape = bar->shape;
    if (shape->kind == LL_BLOCK) {
        block_factors(bar, f_hz, factor);
        return;
    }
    const ll_extent e = extent_of(mesh, t, bar->pose);
    const double half = shape->size_m.z / 2;
    if (shape->size_m.z < LL_PLATE_SHARE * 2 * shape->radius_m && shape->kind != LL_SCREW) {
        const double complex kappa = ll_skin_kappa(f_hz, bar->mu[0], bar->conductivity_s_m);
        factor[0] = factor[1] = ll_skin_plate(kappa, half, -half, half);
        factor[2] = 1;
        return;
    }
    const bool in_head = shape->kind == LL_SCREW && e.low_z > half - shape->head_height_m - 1e-9;
    round_factors(bar, f_hz, e.low_r / bar->corner, e.high_r / bar->corner,
                  in_head ? shape->head_radius_m : shape->radius_m, factor);
}

/* Polygons have the area of their circles, so corners stand out of them. */
static void measure_corner(ll_bar *bar, const ll_mesh *mesh, size_t t)
{
    const double reach = extent_of(mesh, t, bar->pose).high_r;
    bar->corner = fmax(bar->corner, reach / (bar->shape->size_m.x / 2));
}

/* The bars of a body, with their mean permeability. */
static ll_status find_bars(const ll_body *body, const ll_scene *scene, const double *w, ll_bar *bar)
{
    const ll_mesh *mesh = body->form->mesh;
    double *volume = calloc(body->regions, sizeof *volume);
    if (!volume)
        return LL_NO_MEMORY;
    for (size_t r = 0; r < body->regions; r++) {
        bar[r] = (ll_bar){&body->form->shape[r],
                          &body->form->pose[r],
                          conductivity_of(body, scene, r),
                          {0},
                          {0},
                          1};
        place_edges(&bar[r]);
    }
    for (size_t t = 0; t < mesh->tets; t++) {
        const int r = mesh->owner[t];
        double mu[3];
        ll_vec3 hat[4];
        const double v = ll_tet_hats(mesh, t, hat);
        reversible_axes(body, t, w, mu);
        volume[r] += v;
        measure_corner(&bar[r], mesh, t);
        for (int i = 0; i < 3; i++)
            bar[r].mu[i] += v * (mu[i] - bar[r].mu[i]) / volume[r];
    }
    free(volume);
    return LL_OK;
}

/* mu (factor - 1) is what D holds of each tetrahedron, |mu factor| what its preconditioner is made of. */
ll_status ll_skin_body(const ll_body *body, const ll_scene *scene, const double *w, double f_hz,
                       double complex (*change)[3], double (*size)[3])
{
    ll_bar *bar = malloc(body->regions * sizeof *bar);
    const ll_status status = bar ? find_bars(body, scene, w, bar) : LL_NO_MEMORY;
    for (size_t t = 0; !status && t < body->form->mesh->tets; t++) {
        const ll_bar *own = &bar[body->form->mesh->owner[t]];
        double complex factor[3] = {1, 1, 1};
        double mu[3];
        reversible_axes(body, t, w, mu);
        if (own->conductivity_s_m > 0)
            factors_of(own, body->form->mesh, t, f_hz, factor);
        for (int i = 0; i < 3; i++) {
            change[t][i] = mu[i] * (factor[i] - 1);
            size[t][i] = mu[i] * cabs(factor[i]);
        }
    }
    free(bar);
    return status;
}
