/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/block.h"
#include "elements/block_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What Gauss points leave of a face's potential: 1e-5 of it, far below the error of the elements. */
static const double face_tolerance = 1e-5;

/* ---- small functions of a form ---- */

static double distance(const ll_body_form *form, ll_vec3 own_m)
{
    const ll_block *f = ll_block_of(form);
    double most = -HUGE_VAL, square = 0;
    for (int k = 0; k < 3; k++) {
        const double beyond = fabs(ll_axis_of(own_m, k)) - f->half_m[k];
        most = fmax(most, beyond);
        square += beyond > 0 ? beyond * beyond : 0;
    }
    return most > 0 ? sqrt(square) : most;
}

static size_t region_at(const ll_body_form *form, ll_vec3 own_m)
{
    (void)form;
    (void)own_m;
    return 0;
}

/* Function i of a line of degree p, counted without the one on the plane in the middle when odd, in a line of higher degree. */
static int raised(const ll_line *from, const ll_line *to, int odd, int i)
{
    const int at = i + odd, ends = from->elements + 1, inner = from->degree - 1;
    if (at < ends)
        return at - odd;
    return ll_line_unknown(to, (at - ends) / inner, 2 + (at - ends) % inner) - odd;
}

static void raise_parity(const ll_block *f, const ll_block *g, int c, const double *x, double *to)
{
    const ll_parity *p = &f->parity[c], *q = &g->parity[c];
    for (int i = 0; i < p->count; i++) {
        const int a = i % p->n[0], b = i / p->n[0] % p->n[1], d = i / p->n[0] / p->n[1];
        const int at = (raised(&f->line[2], &g->line[2], p->odd[2], d) * q->n[1] +
                        raised(&f->line[1], &g->line[1], p->odd[1], b)) *
                           q->n[0] +
                       raised(&f->line[0], &g->line[0], p->odd[0], a);
        to[q->w + (size_t)at] = x[p->w + (size_t)i];
    }
    const int low = f->form.degree, high = g->form.degree;
    for (size_t k = 0; k < f->faces; k++)
        for (int r = 0; r < low * low; r++)
            to[q->lambda + k * (size_t)(high * high) + (size_t)(r / low * high + r % low)] =
                x[p->lambda + k * (size_t)(low * low) + (size_t)r];
}

static void raise_degree(const ll_body_form *form, const double *x, const ll_body_form *higher,
                         double *to)
{
    memset(to, 0, ll_body_form_unknowns(higher) * sizeof *to);
    for (int c = 0; c < LL_PARITIES; c++)
        raise_parity(ll_block_of(form), ll_block_of(higher), c, x, to);
}

/* ---- making and freeing ---- */

static void free_form(ll_body_form *form)
{
    ll_block *f = (ll_block *)form;
    for (int k = 0; k < 3; k++) {
        ll_line_clear(&f->line[k]);
        for (int odd = 0; odd < 2; odd++) {
            free(f->vector[k][odd]);
            free(f->value[k][odd]);
        }
    }
    for (int c = 0; c < LL_PARITIES; c++) {
        free(f->parity[c].of_outline);
        free(f->parity[c].at_outline);
        free(f->own[c]);
        free(f->single[c]);
        free(f->answer[c]);
        free(f->outside[c]);
        if (f->single_order[c])
            gsl_permutation_free(f->single_order[c]);
    }
    ll_rectangle_layers_free(f->layers);
    free(f->face);
    free(f->weight);
    free(f);
}

static const ll_body_form_kind block = {
    .name = "block",
    .free = free_form,
    .find_h = ll_block_find_h,
    .test_flux = ll_block_test_flux,
    .add_charges = ll_block_add_charges,
    .h_at = ll_block_h_at,
    .region_at = region_at,
    .add_own_surface = ll_block_add_own_surface,
    .test_surface = ll_block_test_surface,
    .test_group = ll_block_test_group,
    .trace = ll_block_trace,
    .flux_beyond = ll_block_flux_beyond,
    .find_layers = ll_block_find_layers,
    .potential_rows = ll_block_potential_rows,
    .add_field = ll_block_add_field,
    .distance_m = distance,
    .factorise = ll_block_factorise,
    .solve = ll_block_solve,
    .free_factor = ll_block_free_factor,
    .raise = raise_degree,
};

static bool rises(int n, const double *at)
{
    for (int i = 0; i < n; i++)
        if (!(at[i + 1] > at[i]) || !isfinite(at[i + 1]))
            return false;
    return at[0] == 0;
}

static ll_status check(const ll_block_options *o)
{
    if (o->degree < 1 || o->degree > LL_DEGREE_MOST || o->finer < 0 || o->finer > LL_FINER_MOST)
        return LL_BAD_VALUE;
    size_t functions = 1;
    for (int k = 0; k < 3; k++) {
        if (o->elements[k] < 1 || !rises(o->elements[k], o->at_m[k]))
            return LL_BAD_VALUE;
        const size_t along = (size_t)o->elements[k] * (size_t)o->degree + 1;
        if (along > LL_BLOCK_FUNCTIONS_MOST)
            return LL_TOO_BIG;
        functions *= along;
    }
    return functions > LL_BLOCK_OCTANT_MOST ? LL_TOO_BIG : LL_OK;
}

/* About what the form holds: the matrices of each class, and all points. */
static size_t count_bytes(const ll_block *f)
{
    size_t numbers = 5 * f->form.places + 7 * f->form.surface;
    for (int c = 0; c < LL_PARITIES; c++) {
        const size_t outline = (size_t)f->parity[c].outline, charges = (size_t)f->charges;
        numbers += charges * (2 * outline + 2 * charges) + outline * outline;
    }
    return numbers * sizeof(double) + sizeof *f;
}

static ll_status prepare(ll_block *f, const ll_block_options *o)
{
    ll_status status = LL_OK;
    for (int k = 0; k < 3 && !status; k++) {
        f->half_m[k] = o->at_m[k][o->elements[k]];
        status = ll_line_make(o->elements[k], o->at_m[k], o->degree, o->degree + 2 + o->finer,
                              &f->line[k]);
    }
    f->form.reach_m = sqrt(f->half_m[0] * f->half_m[0] + f->half_m[1] * f->half_m[1] +
                           f->half_m[2] * f->half_m[2]);
    f->field_points = o->degree + 4 + o->finer;
    if (!status)
        status = ll_gauss_points(f->field_points, f->field_node, f->field_weight);
    if (!status)
        status =
            ll_rectangle_layers_new(o->degree, face_tolerance * pow(0.01, o->finer), &f->layers);
    if (!status)
        status = ll_block_prepare_inside(f);
    if (!status)
        status = ll_block_prepare_surface(f, o->finer);
    return status ? status : ll_block_prepare_factor(f);
}

ll_status ll_block_new(const ll_block_options *options, ll_body_form **out)
{
    ll_status status = check(options);
    if (status)
        return status;
    ll_block *f = calloc(1, sizeof *f);
    if (!f)
        return LL_NO_MEMORY;
    ll_body_form_begin(&f->form, &block);
    f->form.degree = options->degree;
    f->form.finer = options->finer;
    status = prepare(f, options);
    f->form.bytes = count_bytes(f);
    if (status)
        ll_release(&f->form);
    else
        *out = &f->form;
    return status;
}
