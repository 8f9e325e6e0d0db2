/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/revolved.h"
#include "base/constants.h"
#include "elements/revolved_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- what a plane cuts off ---- */

/* Integrals over the part of a ring that lies beyond a plane: of the charge, and of the normal's share along the plane's. */
typedef struct ll_arc {
    double flux, facing;
} ll_arc;

/* The plane's normal: its size across the axis, where that points, and along the axis. */
typedef struct ll_cutter {
    double across, angle, along, offset;
} ll_cutter;

/* Half the angle of the ring (r, z) that lies beyond the plane. */
static double half_arc(const ll_cutter *c, double r, double z)
{
    const double level = c->offset - c->along * z;
    if (fabs(level) >= c->across * r)
        return level < 0 ? LL_PI : 0;
    return acos(level / (c->across * r));
}

/* Charge waves of a point of a side, integrated over the arc |phi - angle| < half. */
static double charge_on_arc(const ll_revolved *f, const double *x, size_t k, const double *charge,
                            const ll_cutter *c, double half)
{
    const int degree = f->meridian.degree;
    double sum = 0;
    for (int v = 0; v < f->waves; v++) {
        const ll_wave *wave = &f->wave[v];
        const double *own = x + wave->lambda + k * (size_t)degree;
        double density = 0;
        for (int i = 0; i < degree; i++)
            density += charge[i] * own[i];
        const double arc = wave->m ? 2 * sin(wave->m * half) / wave->m : 2 * half;
        const double turn = wave->m * c->angle;
        sum += density * arc * (wave->sine ? sin(turn) : cos(turn));
    }
    return sum;
}

/* One stretch of a side, from `from` to `to` of -1 .. 1. */
static ll_arc arc_of_stretch(const ll_revolved *f, const double *x, size_t k, const ll_cutter *c,
                             double from, double to)
{
    const ll_side *side = &f->meridian.side[k];
    const ll_rule *rule = &f->rules.far;
    ll_arc sum = {0, 0};
    for (int i = 0; i < rule->points; i++) {
        double charge[LL_DEGREE_MOST + 1];
        const double at = from + 0.5 * (to - from) * (1 + rule->at[i]), u = 0.5 * (1 + at);
        const double r = side->r[0] + u * (side->r[1] - side->r[0]);
        const double z = side->z[0] + u * (side->z[1] - side->z[0]);
        const double weight = 0.25 * (to - from) * side->length * rule->weight[i] * r;
        const double half = half_arc(c, r, z);
        ll_legendre(f->meridian.degree, at, charge);
        sum.flux += weight * charge_on_arc(f, x, k, charge, c, half);
        sum.facing +=
            weight * 2 * (side->n_r * c->across * sin(half) + side->n_z * c->along * half);
    }
    return sum;
}

/* Where the plane enters or leaves the rings of a side, on -1 .. 1. */
static double crossing(const ll_cutter *c, const ll_side *side, int sign)
{
    /* along z + sign across r = offset */
    const double start = c->along * side->z[0] + sign * c->across * side->r[0];
    const double end = c->along * side->z[1] + sign * c->across * side->r[1];
    const double share = start == end ? -1 : (c->offset - start) / (end - start);
    return fmin(1, fmax(-1, 2 * share - 1));
}

/* The arc has a root's singularity where the plane begins to cut: stretches shrink towards it. */
static ll_arc arc_of_side(const ll_revolved *f, const double *x, size_t k, const ll_cutter *c)
{
    enum { STRETCHES = 12 };
    const ll_side *side = &f->meridian.side[k];
    const double a = crossing(c, side, 1), b = crossing(c, side, -1);
    const double breaks[] = {-1, fmin(a, b), fmax(a, b), 1};
    ll_arc sum = {0, 0};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < STRETCHES; j++) {
            /* Cosine spacing: fine at both ends. */
            const double from = 0.5 - 0.5 * cos(LL_PI * j / STRETCHES);
            const double to = 0.5 - 0.5 * cos(LL_PI * (j + 1) / STRETCHES);
            const double span = breaks[i + 1] - breaks[i];
            if (span <= 0)
                break;
            const ll_arc arc =
                arc_of_stretch(f, x, k, c, breaks[i] + from * span, breaks[i] + to * span);
            sum.flux += arc.flux;
            sum.facing += arc.facing;
        }
    return sum;
}

static void flux_beyond(const ll_body_form *form, const double *x, const ll_plane *plane,
                        double *flux_a_m, double *area_m2)
{
    const ll_revolved *f = ll_revolved_of(form);
    ll_cutter c = {hypot(plane->normal.x, plane->normal.y), atan2(plane->normal.y, plane->normal.x),
                   plane->normal.z, plane->offset_m};
    if (c.across < 1e-9)
        c.across = 0;
    *flux_a_m = *area_m2 = 0;
    for (size_t k = 0; k < f->meridian.sides; k++) {
        const ll_arc arc = arc_of_side(f, x, k, &c);
        *flux_a_m += arc.flux;
        /* What is cut off has a closed surface, whose normals add up to nothing. */
        *area_m2 += arc.facing;
    }
}

/* ---- small functions of a form ---- */

static double distance(const ll_body_form *form, ll_vec3 own_m)
{
    const ll_meridian *m = &ll_revolved_of(form)->meridian;
    const double across = hypot(own_m.x, own_m.y) - m->radius_m;
    const double along = fmax(m->z_m[0] - own_m.z, own_m.z - m->z_m[1]);
    return across > 0 && along > 0 ? hypot(across, along) : fmax(across, along);
}

static size_t region_at(const ll_body_form *form, ll_vec3 own_m)
{
    return ll_meridian_cell(&ll_revolved_of(form)->meridian, hypot(own_m.x, own_m.y), own_m.z)
        ->region;
}

static const ll_wave *same_wave(const ll_revolved *f, const ll_wave *wave)
{
    for (int v = 0; v < f->waves; v++)
        if (f->wave[v].m == wave->m && f->wave[v].sine == wave->sine)
            return &f->wave[v];
    return NULL;
}

static void raise_wave(const ll_revolved *f, const ll_wave *wave, const double *x,
                       const ll_revolved *g, const ll_wave *into, double *to)
{
    const int p = f->meridian.degree, q = g->meridian.degree;
    for (size_t k = 0; k < f->meridian.cells; k++)
        for (int s = 0; s < (p + 1) * (p + 1); s++) {
            const int from = f->meridian.cell[k].unknown[s];
            const int at = g->meridian.cell[k].unknown[s / (p + 1) * (q + 1) + s % (p + 1)];
            const int number = ll_part_of(f, wave->m)->number[from];
            if (number >= 0)
                to[into->w + (size_t)ll_part_of(g, wave->m)->number[at]] =
                    x[wave->w + (size_t)number];
        }
    for (size_t k = 0; k < f->meridian.sides; k++)
        memcpy(to + into->lambda + k * (size_t)q, x + wave->lambda + k * (size_t)p,
               (size_t)p * sizeof *to);
}

static void raise_degree(const ll_body_form *form, const double *x, const ll_body_form *higher,
                         double *to)
{
    const ll_revolved *f = ll_revolved_of(form), *g = ll_revolved_of(higher);
    memset(to, 0, ll_body_form_unknowns(higher) * sizeof *to);
    for (int v = 0; v < f->waves; v++) {
        const ll_wave *into = same_wave(g, &f->wave[v]);
        if (into)
            raise_wave(f, &f->wave[v], x, g, into, to);
    }
}

/* ---- making and freeing ---- */

static void clear_angles(ll_angles *angles)
{
    free(angles->cosine);
    memset(angles, 0, sizeof *angles);
}

static void free_form(ll_body_form *form)
{
    ll_revolved *f = (ll_revolved *)form;
    ll_meridian_clear(&f->meridian);
    for (int k = 0; k < 2; k++)
        free(f->part[k].number);
    clear_angles(&f->around);
    clear_angles(&f->surface_around);
    free(f->value);
    free(f->mass);
    for (int m = 0; m <= f->harmonics; m++) {
        free(f->own[m]);
        free(f->single[m]);
        free(f->answer[m]);
        if (f->single_order[m])
            gsl_permutation_free(f->single_order[m]);
    }
    free(f->turn_table);
    free(f);
}

static const ll_body_form_kind revolved = {
    .name = "revolved",
    .free = free_form,
    .find_h = ll_revolved_find_h,
    .test_flux = ll_revolved_test_flux,
    .add_charges = ll_revolved_add_charges,
    .h_at = ll_revolved_h_at,
    .region_at = region_at,
    .add_own_surface = ll_revolved_add_own_surface,
    .test_surface = ll_revolved_test_surface,
    .test_group = ll_revolved_test_group,
    .trace = ll_revolved_trace,
    .flux_beyond = flux_beyond,
    .find_layers = ll_revolved_find_layers,
    .potential_rows = ll_revolved_potential_rows,
    .add_field = ll_revolved_add_field,
    .distance_m = distance,
    .factorise = ll_revolved_factorise,
    .solve = ll_revolved_solve,
    .free_factor = ll_revolved_free_factor,
    .raise = raise_degree,
};

/* Without sines the half turn is enough: all of it is mirrored. */
static ll_status make_angles(const ll_revolved *f, int in_a_turn, ll_angles *out)
{
    const int n = f->sines ? in_a_turn : (in_a_turn + 1) / 2;
    const double turn = f->sines ? 2 * LL_PI : LL_PI;
    const size_t count = (size_t)n;
    double *room = malloc((2 + 2 * (size_t)f->waves) * count * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    *out = (ll_angles){n,        2 * LL_PI / n, room,
                       room + n, room + 2 * n,  room + (size_t)(2 + f->waves) * count};
    for (int a = 0; a < n; a++) {
        const double angle = turn * (a + 0.5) / n;
        out->cosine[a] = cos(angle);
        out->sine[a] = sin(angle);
        for (int v = 0; v < f->waves; v++) {
            const double c = cos(f->wave[v].m * angle), s = sin(f->wave[v].m * angle);
            out->wave[v * n + a] = f->wave[v].sine ? s : c;
            out->turned[v * n + a] = f->wave[v].sine ? c : -s;
        }
    }
    return LL_OK;
}

/* Twice as many angles for the law as its fields have waves, as it bends; for outside potentials as many as their
 * harmonics need to fall to e^-10 at a neighbour's distance. */
static ll_status make_all_angles(ll_revolved *f, const ll_revolved_options *o)
{
    const int m = f->harmonics, law = m == 0 ? 1 : 4 * m + 4;
    const double fall = acosh(1 + o->clear_m / f->meridian.radius_m);
    const int tests = m + (int)ceil(fmin(60, 10 / fall)), least = 2 * m + 6;
    const ll_status status = make_angles(f, law + 4 * o->finer * (m > 0), &f->around);
    return status
               ? status
               : make_angles(f, (tests > least ? tests : least) + 6 * o->finer, &f->surface_around);
}

/* Which functions of the meridian take part in m = 0, and in m > 0. */
static ll_status choose_parts(ll_revolved *f)
{
    const ll_meridian *m = &f->meridian;
    for (int k = 0; k < 2; k++) {
        ll_taking_part *part = &f->part[k];
        part->number = malloc(3 * (size_t)m->unknowns * sizeof *part->number);
        if (!part->number)
            return LL_NO_MEMORY;
        part->at_outline = part->number + m->unknowns;
        part->of_outline = part->number + 2 * m->unknowns;
        for (int i = 0; i < m->unknowns; i++) {
            const bool takes_part = k == 0 || !m->on_axis[i];
            const bool outline = takes_part && m->on_outline[i];
            part->number[i] = takes_part ? part->count++ : -1;
            part->at_outline[i] = outline ? part->outline : -1;
            if (outline)
                part->of_outline[part->outline++] = part->number[i];
        }
    }
    return LL_OK;
}

/* Numbers waves, unknowns and layers. */
static void number_waves(ll_revolved *f)
{
    ll_body_form *form = &f->form;
    for (int m = 0; m <= f->harmonics; m++)
        for (int sine = 0; sine == 0 || (sine == 1 && m > 0 && f->sines); sine++) {
            ll_wave *wave = &f->wave[f->waves++];
            *wave = (ll_wave){.m = m, .sine = sine, .w = form->potentials, .layer = form->layers};
            form->potentials += (size_t)ll_part_of(f, m)->count;
            form->layers += (size_t)ll_wave_layers(f, m);
        }
    for (int v = 0; v < f->waves; v++)
        f->wave[v].lambda = form->potentials + (size_t)(v * f->side_charges);
    form->charges = (size_t)f->waves * (size_t)f->side_charges;
}

/* About what the form holds: the matrices of each harmonic, and all points. */
static size_t count_bytes(const ll_revolved *f)
{
    const size_t charges = (size_t)f->side_charges;
    size_t numbers = 5 * f->form.places + 7 * f->form.surface;
    for (int m = 0; m <= f->harmonics; m++) {
        const size_t layers = (size_t)ll_wave_layers(f, m);
        numbers += 2 * charges * layers;
    }
    return numbers * sizeof(double) + sizeof *f;
}

static ll_status build(ll_revolved *f, const ll_revolved_options *o)
{
    ll_body_form_begin(&f->form, &revolved);
    f->form.degree = o->degree;
    f->form.finer = o->finer;
    f->harmonics = o->harmonics;
    f->sines = o->sines && o->harmonics > 0;
    f->side_charges = (int)f->meridian.sides * o->degree;
    f->form.reach_m =
        hypot(f->meridian.radius_m, fmax(fabs(f->meridian.z_m[0]), fabs(f->meridian.z_m[1])));
    ll_status status = choose_parts(f);
    if (status)
        return status;
    number_waves(f);
    if (ll_wave_layers(f, 0) > LL_WAVE_LAYERS_MOST)
        return LL_TOO_BIG;
    f->inside.points = o->degree + 2 + (o->finer > 0);
    status = ll_gauss_points(f->inside.points, f->inside.at, f->inside.weight);
    if (!status)
        status = make_all_angles(f, o);
    if (!status)
        status = ll_revolved_prepare_inside(f);
    if (!status)
        status = ll_revolved_prepare_layers(f, o->finer);
    if (!status)
        status = ll_revolved_prepare_field(f);
    if (!status)
        status = ll_revolved_prepare_factor(f);
    f->form.bytes = count_bytes(f);
    return status;
}

static bool options_hold(const ll_revolved_options *o)
{
    return o->degree >= 1 && o->degree <= LL_DEGREE_MOST && o->harmonics >= 0 &&
           o->harmonics <= LL_HARMONIC_MOST && o->clear_m > 0 && o->finer >= 0 && o->finer <= 4;
}

ll_status ll_revolved_new(size_t n, const ll_rectangle *rectangle, size_t nr, const double *r,
                          size_t nz, const double *z, const ll_revolved_options *options,
                          ll_body_form **out)
{
    if (!options_hold(options))
        return LL_BAD_VALUE;
    ll_revolved *f = calloc(1, sizeof *f);
    if (!f)
        return LL_NO_MEMORY;
    ll_status status = ll_meridian_make(n, rectangle, nr, r, nz, z, options->degree, &f->meridian);
    if (status) {
        free(f);
        return status;
    }
    status = build(f, options);
    if (status)
        ll_release(&f->form);
    else
        *out = &f->form;
    return status;
}
