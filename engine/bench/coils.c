/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/coils.h"
#include "base/constants.h"
#include "base/gsl.h"
#include "winding/winding.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_complex_math.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

static bool can_be(const ll_coil_state *s)
{
    return s->turns > 0 && isfinite(s->turns) && s->wire > 0 && isfinite(s->wire) && s->core > 0 &&
           isfinite(s->core) && s->shorted >= 0 && s->shorted <= 1;
}

static ll_status check(const ll_series_coils *coils)
{
    for (size_t i = 0; i < coils->count; i++)
        if (!can_be(&coils->state[i]))
            return LL_BAD_VALUE;
    return coils->joint_ohm >= 0 && isfinite(coils->joint_ohm) ? LL_OK : LL_BAD_VALUE;
}

/* Turns that give voltage, over the sound coil's. */
static double lively(const ll_coil_state *s)
{
    return (s->reversed ? -1 : 1) * s->turns * (1 - s->shorted);
}

static double resistance(const ll_series_coils *coils, size_t i, double over_20_c)
{
    const ll_coil_state *s = &coils->state[i];
    return s->open ? LL_OPEN_OHM
                   : coils->r_ohm[i] * s->turns * s->wire * (1 - s->shorted) * over_20_c;
}

ll_status ll_series_resistances(const ll_series_coils *coils, double temperature_c, double *r_ohm)
{
    const double over_20_c = ll_copper_over_20_c(temperature_c);
    const ll_status status = check(coils);
    if (status || !(over_20_c > 0))
        return status ? status : LL_BAD_VALUE;
    for (size_t i = 0; i < coils->count; i++)
        r_ohm[i] = resistance(coils, i, over_20_c);
    return LL_OK;
}

/* Inductance between `a` of the turns of coil i and `b` of those of coil k, over the sound coils' turns. */
static double between(const ll_series_coils *coils, size_t i, double a, size_t k, double b)
{
    return coils->l_h[i * coils->count + k] * sqrt(coils->state[i].core * coils->state[k].core) *
           a * b;
}

static double in_loop(const ll_coil_state *s)
{
    return (s->reversed ? -1 : 1) * s->turns * s->shorted;
}

static double static_inductance(const ll_series_coils *coils)
{
    double sum = 0;
    for (size_t i = 0; i < coils->count; i++)
        for (size_t k = 0; k < coils->count; k++)
            sum += between(coils, i, lively(&coils->state[i]), k, lively(&coils->state[k]));
    return sum;
}

/* What the shorted turns of coil i share with all lively ones. */
static double shared_with_lively(const ll_series_coils *coils, size_t i)
{
    double sum = 0;
    for (size_t k = 0; k < coils->count; k++)
        sum += (i == k ? LL_SHORTED_COUPLING : 1) *
               between(coils, i, in_loop(&coils->state[i]), k, lively(&coils->state[k]));
    return sum;
}

/* The loops' equations, of which the first `loops` rows are used; a coil without shorted turns has an idle loop of its own. */
typedef struct loop_system {
    gsl_matrix_complex *z;
    gsl_vector_complex *mutual, *current;
    gsl_permutation *order;
} loop_system;

static void system_free(loop_system *s)
{
    gsl_matrix_complex_free(s->z);
    gsl_vector_complex_free(s->mutual);
    gsl_vector_complex_free(s->current);
    gsl_permutation_free(s->order);
}

static bool system_new(size_t loops, loop_system *s)
{
    *s = (loop_system){gsl_matrix_complex_calloc(loops, loops), gsl_vector_complex_calloc(loops),
                       gsl_vector_complex_alloc(loops), gsl_permutation_alloc(loops)};
    return s->z && s->mutual && s->current && s->order;
}

static void add_to(gsl_complex *sum, double re, double im)
{
    *sum = gsl_complex_add(*sum, gsl_complex_rect(re, im));
}

/* Every coil's shorted turns into its own loop, or all into the first. `x` is w times the inductive share. */
static void fill(const ll_series_coils *coils, double x, double over_20_c, loop_system *s)
{
    for (size_t i = 0; i < coils->count; i++) {
        const ll_coil_state *a = &coils->state[i];
        const size_t row = coils->one_loop ? 0 : i;
        const double r = coils->r_ohm[i] * a->turns * a->wire * a->shorted * over_20_c;
        add_to(gsl_matrix_complex_ptr(s->z, row, row), r, 0);
        add_to(gsl_vector_complex_ptr(s->mutual, row), 0, x * shared_with_lively(coils, i));
        for (size_t k = 0; k < coils->count; k++)
            add_to(gsl_matrix_complex_ptr(s->z, row, coils->one_loop ? 0 : k), 0,
                   x * between(coils, i, in_loop(a), k, in_loop(&coils->state[k])));
        if (!coils->one_loop && a->shorted == 0)
            add_to(gsl_matrix_complex_ptr(s->z, row, row), 1, 0);
    }
}

/* What all loops bring in series, as ohm and henry at w. */
static ll_status loops_bring(const ll_series_coils *coils, double w, double inductive,
                             double over_20_c, ll_series_figures *sum)
{
    loop_system s;
    int sign, wrong = 0;
    gsl_complex z = GSL_COMPLEX_ZERO;
    const bool room = system_new(coils->one_loop ? 1 : coils->count, &s);
    if (room) {
        fill(coils, w * inductive, over_20_c, &s);
        wrong = gsl_linalg_complex_LU_decomp(s.z, s.order, &sign) ||
                gsl_linalg_complex_LU_solve(s.z, s.order, s.mutual, s.current) ||
                gsl_blas_zdotu(s.mutual, s.current, &z);
    }
    system_free(&s);
    if (!room || wrong)
        return room ? LL_LIBRARY : LL_NO_MEMORY;
    sum->shorted_ohm = -GSL_REAL(z);
    sum->shorted_h = -GSL_IMAG(z) / w;
    return LL_OK;
}

static bool has_loop(const ll_series_coils *coils)
{
    for (size_t i = 0; i < coils->count; i++)
        if (coils->state[i].shorted > 0)
            return true;
    return false;
}

ll_status ll_series_impedance(const ll_series_coils *coils, double f_hz, ll_eddy_share eddies,
                              double temperature_c, ll_series_figures *out)
{
    const double over_20_c = ll_copper_over_20_c(temperature_c), w = 2 * LL_PI * f_hz;
    ll_status status = check(coils);
    if (status || !(f_hz > 0 && isfinite(f_hz) && over_20_c > 0))
        return status ? status : LL_BAD_VALUE;
    const double l = static_inductance(coils);
    ll_series_figures sum = {.r_ohm = eddies.ohm_per_h * l, .l_h = eddies.inductive * l};
    double dcr = coils->joint_ohm;
    for (size_t i = 0; i < coils->count; i++)
        dcr += resistance(coils, i, over_20_c);
    if (has_loop(coils))
        status = loops_bring(coils, w, eddies.inductive, over_20_c, &sum);
    sum.r_ohm += fmin(dcr, LL_OPEN_OHM) + sum.shorted_ohm;
    sum.l_h += sum.shorted_h;
    if (!status)
        *out = sum;
    return status;
}

ll_status ll_series_turns(const ll_series_coils *coils, double *turns)
{
    const ll_status status = check(coils);
    for (size_t i = 0; i < coils->count && !status; i++)
        turns[i] = lively(&coils->state[i]);
    return status;
}

double ll_series_passes(const ll_series_coils *coils)
{
    for (size_t i = 0; i < coils->count; i++)
        if (coils->state[i].open)
            return LL_THROUGH_BREAK;
    return 1;
}

double ll_resonance_hz(double l_h, double c_f)
{
    return 1 / (2 * LL_PI * sqrt(l_h * c_f));
}
