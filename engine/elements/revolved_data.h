/* revolved_data.h - what a form of revolution holds, for its own files. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_REVOLVED_DATA_H
#define LL_ELEMENTS_REVOLVED_DATA_H

#include "base/gsl.h"
#include "elements/legendre.h"
#include "elements/revolved.h"
#include "elements/ring_kernel.h"
#include "elements/side_points.h"

#include <gsl/gsl_permutation.h>

enum { LL_WAVES_MOST = 2 * LL_HARMONIC_MOST + 1, LL_WAVE_LAYERS_MOST = 512 };

/* One function of the angle: cos m phi or sin m phi. */
typedef struct ll_wave {
    int m;
    bool sine;
    size_t w, lambda, layer; /* where its coefficients start: in x, in x, among the layers */
} ll_wave;

/* Functions of the meridian that take part in a harmonic: all in m = 0, only those that vanish on the axis in m > 0. */
typedef struct ll_taking_part {
    int count, outline; /* of them, and of those that do not vanish on the outline */
    int *number;        /* [meridian unknowns] or -1 */
    int *at_outline;    /* [meridian unknowns] place among those of the outline, or -1 */
    int *of_outline;    /* [outline] -> number */
} ll_taking_part;

/* Equal angles around the axis, the waves there and the waves' derivatives over m, [wave][angles]; what each weighs of the
 * whole turn. */
typedef struct ll_angles {
    int count;
    double weight;
    double *cosine, *sine, *wave, *turned;
} ll_angles;

typedef struct ll_revolved {
    ll_body_form form;
    ll_meridian meridian;
    int harmonics, waves;
    bool sines;
    ll_wave wave[LL_WAVES_MOST];
    ll_taking_part part[2]; /* of m = 0, of m > 0 */
    int side_charges;       /* charges of one wave: sides x degree */

    ll_rule inside;                    /* along each edge of a cell */
    double *value, *slope_r, *slope_z; /* [shapes][points of a cell], on -1 .. 1 */
    ll_angles around, surface_around;

    ll_rule along; /* of the test along a side */
    ll_side_rules rules;
    double *
        mass; /* [sides][degree][degree + 1]: integral of charge times shape times r along a side */
    double *own[LL_HARMONIC_MOST + 1]; /* [charges of a wave][layers of a wave] */

    double *turn_table; /* of the field's sums over rings */

    double *single[LL_HARMONIC_MOST + 1]; /* S factorised, [charges of a wave] squared */
    gsl_permutation *single_order[LL_HARMONIC_MOST + 1];
    double *answer[LL_HARMONIC_MOST + 1]; /* S^-1 (1/2 - K), [charges][outline] */
} ll_revolved;

static inline const ll_revolved *ll_revolved_of(const ll_body_form *form)
{
    return (const ll_revolved *)form;
}

static inline const ll_taking_part *ll_part_of(const ll_revolved *f, int m)
{
    return &f->part[m > 0];
}

/* Layers of one wave: potentials on the outline, then charges. */
static inline int ll_wave_layers(const ll_revolved *f, int m)
{
    return ll_part_of(f, m)->outline + f->side_charges;
}

/* y[all w] += the charges of one wave, lambda[charges of a wave], tested by its shapes. */
void ll_revolved_add_wave_charges(const ll_revolved *f, const ll_wave *wave, const double *lambda,
                                  double *y);

/* The integral of a squared wave over the turn. */
static inline double ll_wave_square(int m)
{
    return m == 0 ? 2 * 3.14159265358979323846 : 3.14159265358979323846;
}

/* row[m][layers of a wave] of 1 at (r, z): the kernels of all layers there, each m after the other in rows of `stride`. */
void ll_revolved_row(const ll_revolved *f, double r, double z, size_t stride, double *row);

/* Parts of the constructor and of the table of functions, by file. */
ll_status ll_revolved_prepare_inside(ll_revolved *f);
ll_status ll_revolved_prepare_layers(ll_revolved *f, int finer);
ll_status ll_revolved_prepare_field(ll_revolved *f);
ll_status ll_revolved_prepare_factor(ll_revolved *f);

void ll_revolved_find_h(const ll_body_form *form, const double *w, double *h, double *room);
void ll_revolved_test_flux(const ll_body_form *form, const double *b, double *y, double *room);
ll_vec3 ll_revolved_h_at(const ll_body_form *form, const double *w, ll_vec3 own_m);

void ll_revolved_add_charges(const ll_body_form *form, const double *lambda, double *y);
void ll_revolved_add_own_surface(const ll_body_form *form, const double *x, double *y);
void ll_revolved_test_surface(const ll_body_form *form, const double *psi, double *y);
void ll_revolved_test_group(const ll_body_form *form, size_t group, size_t n, const double *rows,
                            double *y);
void ll_revolved_trace(const ll_body_form *form, const double *x, double *w, double *lambda);
void ll_revolved_find_layers(const ll_body_form *form, const double *x, double *layer);
void ll_revolved_potential_rows(const ll_body_form *form, size_t n, const ll_vec3 *own_m,
                                double *rows);

void ll_revolved_add_field(const ll_body_form *form, const double *layer, size_t n,
                           const ll_vec3 *own_m, double *potential_a, ll_vec3 *h_a_m);

ll_status ll_revolved_factorise(const ll_body_form *form, const double *tangent,
                                ll_body_factor **out);
ll_status ll_revolved_solve(const ll_body_form *form, const ll_body_factor *factor, size_t count,
                            double *const *x);
void ll_revolved_free_factor(ll_body_factor *factor);

#endif
