/* body_form.h - what a meshed body is to a system of bodies: shape, elements and the operators that depend on geometry alone.
 * A form of revolution and one of a block offer the same functions, so that a system never asks which it has.
 *
 * Equations in one body, w the whole potential inside with H = -grad w, lambda = B_n / mu0 on its surface, normals n outwards,
 * psi the potential that everything outside the body makes (other bodies, magnets in closed form, coils), S and K the single
 * and double layer potentials of 1 / (4 pi r):
 *     inside    -integral (B / mu0) . grad v dV + integral lambda v dS = 0            for every v
 *     surface   integral chi ((1/2 - K) w - S lambda) dS = integral chi psi dS        for every chi
 *     outside   the body adds K w + S lambda to the potential
 *
 * Unknowns of a body, one after the other: the coefficients of w, then those of lambda. What they are coefficients of
 * (harmonics, parities, polynomials) is the form's own business. A form knows no material and no place: its frame is the body's own, a pose
 * places it, and the law enters as fields at its `places`: the system takes H there, asks the laws, and gives B or, for a
 * small change, the tangent times H back. A complex permeability goes the same way, real and imaginary part one after the other.
 *
 * Bodies act on each other by potentials at points alone: `potential_rows` of the source at points of the target's surface, tested
 * there by `test_group` (pair.h).
 *
 * SI units, potentials in ampere, H and B / mu0 in A/m. Arrays of vectors are three arrays, [3][n]: all x, all y, all z.
 * Forms are immutable once made: any thread may use one. `room` is a scratch array of room_size doubles for the call alone.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_BODY_FORM_H
#define LL_ELEMENTS_BODY_FORM_H

#include "base/geometry.h"
#include "base/shared.h"
#include "base/status.h"
#include <stdbool.h>
#include <stddef.h>

typedef struct ll_body_form ll_body_form;
/* The body's own equations solved for a given tangent: a preconditioner. */
typedef struct ll_body_factor ll_body_factor;

/* A plane in the form's own frame: the points where normal . x = offset_m; normal a unit vector. */
typedef struct ll_plane {
    ll_vec3 normal;
    double offset_m;
} ll_plane;

/* What a kind of form can do. `x` are unknowns of the body: w[potentials] then lambda[charges]. Functions named add_... and
 * test_... add to y. */
typedef struct ll_body_form_kind {
    const char *name;
    void (*free)(ll_body_form *form);

    /* ---- inside ---- */
    /* h[3][places] = -grad w. */
    void (*find_h)(const ll_body_form *form, const double *w, double *h, double *room);
    /* y[potentials] += -integral b . grad v dV for b[3][places]. */
    void (*test_flux)(const ll_body_form *form, const double *b, double *y, double *room);
    /* y[potentials] += integral lambda v dS. */
    void (*add_charges)(const ll_body_form *form, const double *lambda, double *y);
    /* H at a point inside, from w; a point on the surface or a little outside takes the nearest element. */
    ll_vec3 (*h_at)(const ll_body_form *form, const double *w, ll_vec3 own_m);
    /* In which region a point inside lies; see ll_body_form.region. */
    size_t (*region_at)(const ll_body_form *form, ll_vec3 own_m);

    /* ---- on the surface ---- */
    /* y[charges] += integral chi ((1/2 - K) w - S lambda) dS. */
    void (*add_own_surface)(const ll_body_form *form, const double *x, double *y);
    /* y[charges] += integral chi psi dS for psi[surface] at the surface points. */
    void (*test_surface)(const ll_body_form *form, const double *psi, double *y);
    /* The same of n potentials known at the points of one group, rows[surface_group][n], for y[charges][n]; groups have charges of
     * their own, so several may be tested at once. */
    void (*test_group)(const ll_body_form *form, size_t group, size_t n, const double *rows,
                       double *y);
    /* w and lambda at the surface points, [surface] each. */
    void (*trace)(const ll_body_form *form, const double *x, double *w, double *lambda);
    /* Flux of lambda out of the surface beyond a plane (normal . x > offset) and the area of the body's section by it. */
    void (*flux_beyond)(const ll_body_form *form, const double *x, const ll_plane *plane,
                        double *flux_a_m, double *area_m2);

    /* ---- outside ---- */
    /* The layers that make the field outside: those unknowns of x that do, layer[layers]. */
    void (*find_layers)(const ll_body_form *form, const double *x, double *layer);
    /* rows[n][layers]: the potential of one of each layer at n points outside. */
    void (*potential_rows)(const ll_body_form *form, size_t n, const ll_vec3 *own_m, double *rows);
    /* Added at n points outside: the potential, or H (own axes); either may be NULL. */
    void (*add_field)(const ll_body_form *form, const double *layer, size_t n, const ll_vec3 *own_m,
                      double *potential_a, ll_vec3 *h_a_m);
    /* Distance of a point from the body; what lies in its bore or below its head counts as inside, 0 or less. */
    double (*distance_m)(const ll_body_form *form, ll_vec3 own_m);

    /* ---- solving, and going on to another degree ---- */
    /* The factor for a tangent[6][places] (xx yy zz yz xz xy of dB / dH / mu0), symmetric and positive. It may be a mean over
     * like bodies, and the form may replace it by what is easier to factorise. LL_NO_MEMORY, LL_LIBRARY. */
    ll_status (*factorise)(const ll_body_form *form, const double *tangent, ll_body_factor **out);
    /* x[count][unknowns] = the body's own equations solved for x, in place. Any thread. */
    ll_status (*solve)(const ll_body_form *form, const ll_body_factor *factor, size_t count,
                       double *const *x);
    void (*free_factor)(ll_body_factor *factor);
    /* The same functions in a form on the same mesh whose degree (and harmonics) are not lower: to[unknowns of `higher`]. */
    void (*raise)(const ll_body_form *form, const double *x, const ll_body_form *higher,
                  double *to);
} ll_body_form_kind;

/* The part of a form that all kinds have; a kind's own struct begins with it. */
struct ll_body_form {
    ll_shared shared;
    const ll_body_form_kind *kind;
    int degree, finer; /* finer: more points in every rule, to test them; 0 as a rule */
    size_t bytes, room_size;
    double reach_m; /* no point of the body is further from its origin */

    size_t potentials, charges; /* unknowns: w, lambda */

    size_t places; /* where the law is taken */
    ll_vec3 *place_m;
    double *volume_m3; /* [places], adding up to the body's volume */
    size_t *region;    /* [places] which of several materials fills it; 0 in a form of one */

    size_t surface; /* points of the rule that tests on the surface */
    ll_vec3 *surface_m, *normal;
    double *area_m2;      /* [surface], adding up to the body's surface */
    size_t surface_group; /* so many points in a row are tested by the same charges */

    size_t layers;
    double *
        layer_size; /* [layers] what counts as one: a potential as its body's reach, a charge as 1 */
    /* For each own plane normal to an axis that mirrors the body, NULL for one that does not: the signs that [charges], then [layers]
     * take there. */
    signed char *mirror[3];
    bool half; /* the surface points lie on the own half y >= 0 alone and count twice */
    /* From here on lambda and w at the surface points, times their areas, make the field as charges and dipoles; 0: never. */
    double cloud_gap_m;
};

static inline size_t ll_body_form_unknowns(const ll_body_form *form)
{
    return form->potentials + form->charges;
}

/* The first thing that happens to a new form: of that kind, with one owner (ll_share, ll_release). */
void ll_body_form_begin(ll_body_form *form, const ll_body_form_kind *kind);

#endif
