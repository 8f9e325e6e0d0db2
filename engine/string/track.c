/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/track.h"
#include "base/constants.h"
#include "base/gsl.h"
#include "reading/readings.h"
#include "string/wire.h"

#include <gsl/gsl_interp.h>
#include <stdlib.h>
#include <string.h>

/* Nodes are close over the pickup and grow apart outside it; the string goes on far enough that its ends see nothing. */
static const double fine_m = 0.75e-3, growth = 1.3, beyond_m = 80e-3;
/* The steel's answer is about a hundredth of the string's field; this leaves 1e-4 of a linkage unknown. */
static const double answer_tolerance = 1e-2;

/* ---- nodes ---- */

/* The reach of parts and coils along y. */
static void extent_y(const ll_scene *scene, double *from, double *to)
{
    const ll_vec3 y = ll_vec(0, 1, 0);
    *from = HUGE_VAL;
    *to = -HUGE_VAL;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        const double reach = ll_shape_reach_m(&p->shape, &p->pose.rotation, y);
        *from = fmin(*from, p->pose.origin_m.y - reach);
        *to = fmax(*to, p->pose.origin_m.y + reach);
    }
    for (size_t i = 0; i < ll_scene_coil_count(scene); i++) {
        const ll_coil *c = ll_scene_coil(scene, i);
        const double reach = c->shape.opening_y_m / 2 + c->shape.build_m;
        *from = fmin(*from, c->pose.origin_m.y - reach);
        *to = fmax(*to, c->pose.origin_m.y + reach);
    }
    if (*from > *to)
        *from = *to = 0;
}

static size_t outside_nodes(void)
{
    size_t n = 0;
    for (double at = 0, step = fine_m; at < beyond_m; step *= growth, n++)
        at += step;
    return n;
}

static void lay_out(ll_track *t, double from, double to, size_t inner, size_t outer)
{
    for (size_t i = 0; i < inner; i++)
        t->y_m[outer + i] = inner > 1 ? from + (to - from) * (double)i / (double)(inner - 1) : from;
    double step = fine_m;
    for (size_t i = 0; i < outer; i++, step *= growth) {
        t->y_m[outer - 1 - i] = t->y_m[outer - i] - step;
        t->y_m[outer + inner + i] = t->y_m[outer + inner + i - 1] + step;
    }
    ll_wire_weights(t->nodes, t->y_m, t->length_m);
}

static void carve(ll_carried *c, size_t n, double *room)
{
    c->psi = room;
    c->h_along = room + n;
    c->charge = room + 2 * n;
}

ll_status ll_track_new(const ll_solution *solution, const ll_string *string, ll_track *t)
{
    double from, to;
    extent_y(ll_solution_scene(solution), &from, &to);
    const size_t inner = (size_t)ceil((to - from) / fine_m) + 1, outer = outside_nodes();
    const size_t n = inner + 2 * outer;
    *t = (ll_track){.solution = solution, .string = string, .nodes = n};
    t->y_m = calloc(8 * n, sizeof *t->y_m);
    t->at_m = calloc(5 * n, sizeof *t->at_m);
    if (!t->y_m || !t->at_m) {
        ll_track_clear(t);
        return LL_NO_MEMORY;
    }
    t->length_m = t->y_m + n;
    carve(&t->bias, n, t->y_m + 2 * n);
    carve(&t->coil, n, t->y_m + 5 * n);
    t->h = t->at_m + n;
    t->h_coil = t->at_m + 2 * n;
    t->moment = t->at_m + 3 * n;
    t->coil_moment = t->at_m + 4 * n;
    lay_out(t, from, to, inner, outer);
    return LL_OK;
}

void ll_track_clear(ll_track *t)
{
    ll_response_free(t->bias.answer);
    ll_response_free(t->coil.answer);
    free(t->y_m);
    free(t->at_m);
}

/* ---- fields ---- */

bool ll_string_is_silent(const ll_string *string)
{
    return ll_material_kind(string->material) != LL_STEEL;
}

ll_status ll_string_check(const ll_string *string)
{
    const bool good = string->diameter_m > 0 && string->core_diameter_m > 0 &&
                      string->core_diameter_m <= string->diameter_m;
    return good ? LL_OK : LL_BAD_SIZE;
}

/* Nodes stand closer than any part is wide, but for those far outside the pickup. */
static ll_status check_clear(const ll_track *t)
{
    const ll_scene *scene = ll_solution_scene(t->solution);
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        for (size_t k = 0; k < t->nodes; k++)
            if (ll_shape_depth_m(&p->shape, ll_to_own(&p->pose, t->at_m[k])) >
                -t->string->diameter_m / 2)
                return LL_STRING_IN_PART;
    }
    return LL_OK;
}

/* The axial field as a cubic spline. */
typedef struct ll_axial {
    double *along;
    gsl_interp *spline;
} ll_axial;

static void axial_clear(ll_axial *a)
{
    gsl_interp_free(a->spline);
    free(a->along);
}

static ll_status axial_new(const ll_track *t, const ll_vec3 *h, ll_axial *a)
{
    *a = (ll_axial){malloc(t->nodes * sizeof *a->along),
                    gsl_interp_alloc(gsl_interp_cspline, t->nodes)};
    ll_status status = a->along && a->spline ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; i < t->nodes && !status; i++)
        a->along[i] = h[i].y;
    if (!status && gsl_interp_init(a->spline, t->y_m, a->along, t->nodes))
        status = LL_LIBRARY;
    if (status)
        axial_clear(a);
    return status;
}

/* Potential from the axial field, zero at one end: a constant changes nothing. */
static ll_status integrate_psi(const ll_track *t, const ll_vec3 *h, double *psi)
{
    ll_axial a;
    ll_status status = axial_new(t, h, &a);
    if (status)
        return status;
    for (size_t i = 1; i < t->nodes && !status; i++) {
        double piece;
        if (gsl_interp_eval_integ_e(a.spline, t->y_m, a.along, t->y_m[i - 1], t->y_m[i], NULL,
                                    &piece))
            status = LL_LIBRARY;
        psi[i] = psi[i - 1] - piece;
    }
    axial_clear(&a);
    return status;
}

ll_status ll_track_bend(const ll_track *t, const ll_vec3 *h, double *y_by_y)
{
    ll_axial a;
    ll_status status = axial_new(t, h, &a);
    if (status)
        return status;
    for (size_t i = 0; i < t->nodes && !status; i++)
        if (gsl_interp_eval_deriv_e(a.spline, t->y_m, a.along, t->y_m[i], NULL, &y_by_y[i]))
            status = LL_LIBRARY;
    axial_clear(&a);
    return status;
}

/* Of three neighbours' parabola; none at the ends, where no field is left. */
static ll_vec3 curve_at(const ll_track *t, const ll_vec3 *h, size_t i)
{
    if (i == 0 || i + 1 == t->nodes)
        return ll_vec(0, 0, 0);
    const double before = t->y_m[i] - t->y_m[i - 1], after = t->y_m[i + 1] - t->y_m[i];
    const ll_vec3 rise = ll_scale(1 / after, ll_sub(h[i + 1], h[i]));
    const ll_vec3 fall = ll_scale(1 / before, ll_sub(h[i], h[i - 1]));
    return ll_scale(2 / (before + after), ll_sub(rise, fall));
}

ll_vec3 ll_track_around(const ll_track *t, const ll_vec3 *h, size_t node, double share)
{
    const double a = t->string->core_diameter_m / 2;
    return ll_sub(h[node], ll_scale(share * a * a, curve_at(t, h, node)));
}

ll_status ll_track_place(ll_track *t, const double *share, double x_m, double z_m)
{
    for (size_t i = 0; i < t->nodes; i++)
        t->at_m[i] = ll_vec(x_m, t->y_m[i], z_m);
    ll_status status = check_clear(t);
    if (!status)
        status = ll_solution_h_along(t->solution, share, t->nodes, t->at_m, t->h, t->h_coil);
    return status || !share ? status : integrate_psi(t, t->h_coil, t->coil.psi);
}

double ll_string_radius_across_m(const ll_string *string)
{
    return (ll_string_is_wrapped(string) ? string->diameter_m : string->core_diameter_m) / 2;
}

/* The string as charges: those along it at the nodes, and two for each node's moment across it, half a radius to either side. */
enum { CHARGES_OF_NODE = 3 };

static void add_moment(const ll_track *t, size_t i, ll_vec3 moment, ll_vec3 *at, double *charge)
{
    const double across = ll_norm(moment), off = ll_string_radius_across_m(t->string) / 2;
    const ll_vec3 way = across > 0 ? ll_scale(off / across, moment) : ll_vec(0, 0, off);
    charge[0] = t->length_m[i] * across / (2 * off);
    charge[1] = -charge[0];
    at[0] = ll_add(t->at_m[i], way);
    at[1] = ll_sub(t->at_m[i], way);
}

/* The steel's answer to what the string carries beyond what was answered, `charge` and `moment`, which then are what it carries. */
static ll_status find_answer(const ll_track *t, double tolerance, const ll_vec3 *now,
                             ll_carried *carried, double *charge, ll_vec3 *moment)
{
    const size_t nodes = t->nodes, all = CHARGES_OF_NODE * nodes;
    double *point_charge = malloc((all + 1) * sizeof *point_charge);
    ll_vec3 *at = malloc((all + 1) * sizeof *at);
    ll_status status = point_charge && at ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; i < nodes && !status; i++) {
        at[i] = t->at_m[i];
        point_charge[i] = t->length_m[i] * (carried->charge[i] - charge[i]);
        add_moment(t, i, ll_sub(now[i], moment[i]), at + nodes + 2 * i,
                   point_charge + nodes + 2 * i);
        charge[i] = carried->charge[i];
        moment[i] = now[i];
    }
    if (!status)
        status =
            carried->answer
                ? ll_response_add(carried->answer, tolerance, all, at, point_charge)
                : ll_response_new(t->solution, tolerance, all, at, point_charge, &carried->answer);
    free(point_charge);
    free(at);
    return status;
}

/* ---- the string in them ---- */

static ll_wire_make make_of(const ll_string *string)
{
    return (ll_wire_make){string->core_diameter_m / 2, string->material, ll_wrap_of(string)};
}

/* Susceptibility, M over H, at an axial field. */
static double susceptibility(const ll_material *m, double h_a_m)
{
    double b;
    const double probe = fabs(h_a_m) > 1 ? h_a_m : 1;
    ll_material_b(m, probe, &b, NULL);
    return b / (LL_MU0 * probe) - 1;
}

static double disc_m2(double diameter_m)
{
    return LL_PI * diameter_m * diameter_m / 4;
}

static double round_wire(double chi)
{
    return 2 * chi / (2 + chi);
}

/* That of a round wire in a field across it, 2 chi / (2 + chi) of its section. A magnetic wrap leads the flux around the core, as
 * a tube does: the whole section counts. */
double ll_track_across(const ll_track *t, size_t node)
{
    const ll_string *string = t->string;
    const size_t e = node + 1 < t->nodes ? node : node - 1;
    if (ll_string_is_wrapped(string))
        return disc_m2(string->diameter_m) * round_wire(ll_material_mu_r(string->wrap) - 1);
    return disc_m2(string->core_diameter_m) *
           round_wire(susceptibility(string->material, t->bias.h_along[e]));
}

double ll_track_along(const ll_track *t, size_t element)
{
    const double h = t->bias.h_along[element];
    const ll_wrap wrap = ll_wrap_of(t->string);
    return disc_m2(t->string->core_diameter_m) * susceptibility(t->string->material, h) * h +
           ll_wrap_moment(&wrap, h, NULL);
}

/* What moments across that differ from one's own add to the field there, over an infinite wire of that moment:
 *   - integral (p(s) - p(y)) / (4 pi ((y - s)^2 + a^2)^(3/2)) ds,
 * which for p ~ cos(k y) is the term of order (k a)^2 log(k a) in K1(k a), the field of such a wire on itself. */
static ll_vec3 field_of_others(const ll_track *t, const ll_vec3 *moment, size_t i)
{
    const double a = ll_string_radius_across_m(t->string);
    ll_vec3 sum = ll_vec(0, 0, 0);
    for (size_t j = 0; j < t->nodes; j++) {
        const double away = hypot(t->y_m[j] - t->y_m[i], a);
        const double factor = t->length_m[j] / (4 * LL_PI * away * away * away);
        sum = ll_add(sum, ll_scale(factor, ll_sub(moment[i], moment[j])));
    }
    return sum;
}

/* Moments across in a field known on the axis; its mean of the first harmonic around a wire differs by a^2 / 8 of its curvature. */
static ll_status find_moments(const ll_track *t, const ll_vec3 *h, ll_vec3 *moment)
{
    ll_vec3 *first = malloc((t->nodes + 1) * sizeof *first);
    if (!first)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < t->nodes; i++) {
        const ll_vec3 mean = ll_track_around(t, h, i, 1.0 / 8);
        first[i] = ll_scale(ll_track_across(t, i), ll_vec(mean.x, 0, mean.z));
    }
    for (size_t i = 0; i < t->nodes; i++)
        moment[i] = ll_add(first[i], ll_scale(ll_track_across(t, i), field_of_others(t, first, i)));
    free(first);
    return LL_OK;
}

static ll_status magnetise(ll_track *t)
{
    const ll_wire_make make = make_of(t->string);
    ll_status status = integrate_psi(t, t->h, t->bias.psi);
    if (!status)
        status = ll_wire_magnetise(t->nodes, t->y_m, &make, t->bias.psi, t->bias.h_along,
                                   t->bias.charge);
    return status ? status : find_moments(t, t->h, t->moment);
}

static ll_status excite(ll_track *t)
{
    const ll_wire_make make = make_of(t->string);
    ll_status status = integrate_psi(t, t->h_coil, t->coil.psi);
    if (!status)
        status = ll_wire_answer(t->nodes, t->y_m, &make, t->bias.h_along, t->coil.psi,
                                t->coil.h_along, t->coil.charge);
    return status ? status : find_moments(t, t->h_coil, t->coil_moment);
}

/* The answer is some hundredths of the field, a tenth of it for thick strings at a millimetre: each round leaves so much of the
 * last, and the second need only find what changed, to so much less of itself. */
enum { ROUNDS = 2 };
static const double left_of_round = 0.1;

static ll_status answer_rounds(ll_track *t, ll_status (*carry)(ll_track *t), ll_carried *carried,
                               const ll_vec3 *moment, ll_vec3 *h)
{
    const size_t n = t->nodes;
    ll_vec3 *alone = calloc(3 * n + 1, sizeof *alone), *answer = alone + n, *told = alone + 2 * n;
    double *charge = calloc(n + 1, sizeof *charge), tolerance = answer_tolerance;
    ll_status status = alone && charge ? LL_OK : LL_NO_MEMORY;
    if (!status)
        memcpy(alone, h, n * sizeof *h);
    ll_response_free(carried->answer);
    carried->answer = NULL;
    for (int round = 0; round < ROUNDS && !status; round++, tolerance /= left_of_round) {
        status = find_answer(t, tolerance, moment, carried, charge, told);
        if (!status)
            status = ll_response_h(carried->answer, n, t->at_m, answer);
        for (size_t i = 0; i < n && !status; i++)
            h[i] = ll_add(alone[i], answer[i]);
        if (!status)
            status = carry(t);
    }
    free(alone);
    free(charge);
    return status;
}

ll_status ll_track_magnetise(ll_track *t, bool answered)
{
    const ll_status status = magnetise(t);
    return status || !answered ? status : answer_rounds(t, magnetise, &t->bias, t->moment, t->h);
}

ll_status ll_track_excite(ll_track *t, bool answered)
{
    const ll_status status = excite(t);
    return status || !answered ? status
                               : answer_rounds(t, excite, &t->coil, t->coil_moment, t->h_coil);
}

/* The charges along a wire sit on its surface, where the mean potential of a source is psi - a^2 / 4 psi'' of that on its axis. */
static ll_status surface_psi(const ll_track *t, double *psi)
{
    const double a = t->string->core_diameter_m / 2;
    const ll_status status = ll_track_bend(t, t->h_coil, psi);
    for (size_t i = 0; i < t->nodes && !status; i++)
        psi[i] = t->coil.psi[i] + a * a / 4 * psi[i];
    return status;
}

ll_status ll_track_linkage(const ll_track *t, double *linkage_wb)
{
    double sum = 0, *psi = malloc(t->nodes * sizeof *psi);
    const ll_status status = psi ? surface_psi(t, psi) : LL_NO_MEMORY;
    for (size_t e = 0; e + 1 < t->nodes && !status; e++)
        sum += ll_track_along(t, e) * (psi[e] - psi[e + 1]);
    for (size_t i = 0; i < t->nodes && !status; i++)
        sum += t->length_m[i] * ll_dot(t->moment[i], ll_track_around(t, t->h_coil, i, 1.0 / 8));
    free(psi);
    if (!status)
        *linkage_wb = LL_MU0 * sum;
    return status;
}
