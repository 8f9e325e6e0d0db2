/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/gsl.h"
#include "recording/coil_model.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_matrix.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <gsl/gsl_vector.h>
#include <math.h>
#include <stdlib.h>

/* The unknowns are logarithms of R, L and C, then for the core, where there is one, and for each loop the logit of its share and the
 * logarithm of its corner: none can leave its range. */
enum {
    MOST_UNKNOWNS = LL_COIL_VALUES + 2 * (LL_COIL_MOST_LOOPS + 1),
    LEAST_POINTS = 10,
    STEPS = 200
};

/* No result is told better than this, relative: what converters, leads and the shape of the model leave, whatever the noise. Set
 * by circuits that were stepped through time (tests/bench/card). */
static const double least_sd = 3e-4, least_peak_sd = 1e-4, least_width_sd = 1e-3;

/* No point counts as better known than this part of itself: parabolas and channels are not better. */
static const double least_share = 2e-4;

/* A core's and a loop's share (logit) and corner (logarithm) are known this well before anything is measured: e^3 is twentyfold. */
static const double before_sd = 3;

typedef struct problem {
    size_t n;
    const ll_impedance_point *point;
    double *f_hz, *re, *im, *weight; /* [n] */
    int loops;
    bool core;
} problem;

static double logistic(double x)
{
    return 1 / (1 + exp(-x));
}

static ll_coil_model model_of(const gsl_vector *x, int loops, bool core)
{
    size_t at = LL_COIL_VALUES;
    ll_coil_model m = {.r_ohm = exp(gsl_vector_get(x, LL_COIL_R)),
                       .l_h = exp(gsl_vector_get(x, LL_COIL_L)),
                       .c_f = exp(gsl_vector_get(x, LL_COIL_C)),
                       .loops = loops};
    if (core) {
        m.core = logistic(gsl_vector_get(x, at++));
        m.core_hz = exp(gsl_vector_get(x, at++));
    }
    for (int i = 0; i < loops; i++) {
        m.share[i] = logistic(gsl_vector_get(x, at++));
        m.corner_hz[i] = exp(gsl_vector_get(x, at++));
    }
    return m;
}

static int residuals(const gsl_vector *x, void *context, gsl_vector *f)
{
    const problem *p = context;
    const ll_coil_model m = model_of(x, p->loops, p->core);
    ll_coil_model_impedance(&m, p->n, p->f_hz, p->re, p->im);
    for (size_t i = 0; i < p->n; i++) {
        const double re = (p->re[i] - p->point[i].re_ohm) * p->weight[i];
        const double im = (p->im[i] - p->point[i].im_ohm) * p->weight[i];
        if (!isfinite(re) || !isfinite(im))
            return GSL_EDOM;
        gsl_vector_set(f, 2 * i, re);
        gsl_vector_set(f, 2 * i + 1, im);
    }
    return GSL_SUCCESS;
}

/* One kind of model, fitted: the unknowns, their covariance and the sum of squares. */
typedef struct fitted {
    int loops;
    bool core;
    size_t unknowns;
    double x[MOST_UNKNOWNS], covariance[MOST_UNKNOWNS][MOST_UNKNOWNS], squares;
} fitted;

/* Inverse of J^T J and of what is known beforehand. Without it a loop whose corner lies far outside of the band leaves its share and
 * corner unbounded, and a line through so wide a range says nothing of the peak. false where it is singular all the same. */
static bool covariance_of(const gsl_matrix *jacobian, gsl_matrix *out)
{
    gsl_blas_dsyrk(CblasLower, CblasTrans, 1, jacobian, 0, out);
    for (size_t i = LL_COIL_VALUES; i < out->size1; i++)
        *gsl_matrix_ptr(out, i, i) += 1 / (before_sd * before_sd);
    return !gsl_linalg_cholesky_decomp1(out) && !gsl_linalg_cholesky_invert(out);
}

static void keep(const gsl_multifit_nlinear_workspace *w, gsl_matrix *covariance, fitted *out)
{
    const gsl_vector *x = gsl_multifit_nlinear_position(w);
    const gsl_vector *f = gsl_multifit_nlinear_residual(w);
    gsl_blas_ddot(f, f, &out->squares);
    for (size_t i = 0; i < out->unknowns; i++) {
        out->x[i] = gsl_vector_get(x, i);
        for (size_t k = 0; k < out->unknowns; k++)
            out->covariance[i][k] = gsl_matrix_get(covariance, i, k);
    }
}

/* From out->x on. */
static ll_status run(problem *p, fitted *out)
{
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    how.scale = gsl_multifit_nlinear_scale_marquardt;
    gsl_multifit_nlinear_fdf system = {
        .f = residuals, .n = 2 * p->n, .p = out->unknowns, .params = p};
    gsl_multifit_nlinear_workspace *w =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, system.n, system.p);
    gsl_matrix *covariance = gsl_matrix_alloc(out->unknowns, out->unknowns);
    ll_status status = w && covariance ? LL_NO_CONVERGENCE : LL_NO_MEMORY;
    int why;
    const gsl_vector_view start = gsl_vector_view_array(out->x, out->unknowns);
    p->loops = out->loops;
    p->core = out->core;
    if (status == LL_NO_CONVERGENCE && !gsl_multifit_nlinear_init(&start.vector, &system, w)) {
        const int ended = gsl_multifit_nlinear_driver(STEPS, 1e-9, 1e-12, 0, NULL, NULL, &why, w);
        if ((ended == GSL_SUCCESS || ended == GSL_ENOPROG) &&
            covariance_of(gsl_multifit_nlinear_jac(w), covariance)) {
            keep(w, covariance, out);
            status = isfinite(out->squares) ? LL_OK : LL_NO_CONVERGENCE;
        }
    }
    if (w)
        gsl_multifit_nlinear_free(w);
    gsl_matrix_free(covariance);
    return status;
}

/* R where the coil is still a resistor, L by the middle of the imaginary parts up to the highest one, C by the frequency at which
 * the imaginary part changes its sign, or else small. false where the coil is nowhere inductive. */
static bool guess(const problem *p, double *x)
{
    size_t high = 0;
    for (size_t i = 0; i < p->n; i++)
        if (p->point[i].im_ohm > p->point[high].im_ohm)
            high = i;
    const ll_impedance_point *middle = &p->point[high / 2];
    if (!(middle->im_ohm > 0) || !(p->point[0].re_ohm > 0))
        return false;
    const double l_h = middle->im_ohm / (2 * LL_PI * middle->f_hz);
    double resonance_hz = 3 * p->point[p->n - 1].f_hz;
    for (size_t i = high; i + 1 < p->n; i++)
        if (p->point[i].im_ohm > 0 && p->point[i + 1].im_ohm <= 0) {
            resonance_hz = p->point[i].f_hz;
            break;
        }
    const double w = 2 * LL_PI * resonance_hz;
    x[LL_COIL_R] = log(p->point[0].re_ohm);
    x[LL_COIL_L] = log(l_h);
    x[LL_COIL_C] = -log(w * w * l_h);
    return true;
}

/* Two unknowns more than before, a loop or a core, tried at several corners. */
static ll_status add(problem *p, const fitted *before, bool core, fitted *best)
{
    static const double corners_hz[] = {300, 1500, 6000, 25000};
    ll_status status = LL_NO_CONVERGENCE;
    for (size_t i = 0; i < sizeof corners_hz / sizeof *corners_hz; i++) {
        fitted one = *before;
        one.loops += !core;
        one.core = before->core || core;
        one.x[one.unknowns++] = log(0.05 / 0.95);
        one.x[one.unknowns++] = log(corners_hz[i]);
        const ll_status tried = run(p, &one);
        if (tried == LL_NO_MEMORY)
            return tried;
        if (!tried && (status || one.squares < best->squares)) {
            *best = one;
            status = LL_OK;
        }
    }
    return status;
}

static double criterion(const problem *p, const fitted *f)
{
    const double count = 2 * (double)p->n;
    return count * log(fmax(f->squares, 1e-12 * count) / count) + (double)f->unknowns * log(count);
}

/* From a model on with more and more loops; the best of all is kept. */
static ll_status add_loops(problem *p, fitted now, fitted *best)
{
    while (now.loops < LL_COIL_MOST_LOOPS && 2 * p->n > now.unknowns + 4) {
        fitted more;
        const ll_status status = add(p, &now, false, &more);
        if (status)
            return status == LL_NO_MEMORY ? status : LL_OK;
        now = more;
        if (criterion(p, &now) < criterion(p, best))
            *best = now;
    }
    return LL_OK;
}

static ll_status search(problem *p, fitted *best)
{
    fitted plain = {.unknowns = LL_COIL_VALUES}, core;
    if (!guess(p, plain.x))
        return LL_BAD_VALUE;
    ll_status status = run(p, &plain);
    if (status)
        return status;
    *best = plain;
    status = add_loops(p, plain, best);
    if (status || add(p, &plain, true, &core))
        return status;
    if (criterion(p, &core) < criterion(p, best))
        *best = core;
    return add_loops(p, core, best);
}

static double misfit(const problem *p, const fitted *f)
{
    return sqrt(f->squares / (2 * (double)p->n - (double)f->unknowns));
}

/* How often what is left over of both parts changes its sign along the points; of noise, every second time. */
static double points_in_a_row(const problem *p, const ll_coil_model *m)
{
    double changes = 1;
    ll_coil_model_impedance(m, p->n, p->f_hz, p->re, p->im);
    for (size_t i = 1; i < p->n; i++) {
        changes += (p->re[i] > p->point[i].re_ohm) != (p->re[i - 1] > p->point[i - 1].re_ohm);
        changes += (p->im[i] > p->point[i].im_ohm) != (p->im[i - 1] > p->point[i - 1].im_ohm);
    }
    return fmax(1, (double)p->n / changes);
}

/* How the peak moves with each unknown, and so how sure it is. */
static ll_coil_peak peak_deviation(const fitted *f, const ll_coil_peak *peak)
{
    double slope[3][MOST_UNKNOWNS] = {{0}}, square[3] = {0};
    fitted moved = *f;
    const gsl_vector_const_view x = gsl_vector_const_view_array(moved.x, f->unknowns);
    for (size_t i = 0; i < f->unknowns; i++) {
        const double step = 1e-4;
        ll_coil_peak there = *peak;
        moved.x[i] = f->x[i] + step;
        const ll_coil_model m = model_of(&x.vector, f->loops, f->core);
        if (ll_coil_model_peak(&m, &there)) {
            slope[0][i] = log(there.f_hz / peak->f_hz) / step;
            slope[1][i] = log(there.ohm / peak->ohm) / step;
            slope[2][i] = log(there.q / peak->q) / step;
        }
        moved.x[i] = f->x[i];
    }
    for (int v = 0; v < 3; v++)
        for (size_t i = 0; i < f->unknowns; i++)
            for (size_t k = 0; k < f->unknowns; k++)
                square[v] += slope[v][i] * f->covariance[i][k] * slope[v][k];
    return (ll_coil_peak){sqrt(fmax(0, square[0])), sqrt(fmax(0, square[1])),
                          sqrt(fmax(0, square[2]))};
}

static double rest_of(const problem *p, const ll_coil_model *m)
{
    double sum = 0;
    ll_coil_model_impedance(m, p->n, p->f_hz, p->re, p->im);
    for (size_t i = 0; i < p->n; i++) {
        const double off = hypot(p->re[i] - p->point[i].re_ohm, p->im[i] - p->point[i].im_ohm);
        const double size = hypot(p->point[i].re_ohm, p->point[i].im_ohm);
        sum += off / size * (off / size);
    }
    return sqrt(sum / (double)p->n);
}

static void tell(const problem *p, const fitted *f, ll_coil_found *out)
{
    const gsl_vector_const_view x = gsl_vector_const_view_array(f->x, f->unknowns);
    ll_coil_found found = {.model = model_of(&x.vector, f->loops, f->core), .misfit = misfit(p, f)};
    const double wider = fmax(1, found.misfit) * sqrt(points_in_a_row(p, &found.model));
    for (size_t i = 0; i < LL_COIL_VALUES; i++) {
        found.relative_sd[i] = hypot(wider * sqrt(f->covariance[i][i]), least_sd);
        for (size_t k = 0; k < LL_COIL_VALUES; k++)
            found.correlation[i][k] =
                f->covariance[i][k] / sqrt(f->covariance[i][i] * f->covariance[k][k]);
    }
    found.has_peak = ll_coil_model_peak(&found.model, &found.peak);
    if (found.has_peak) {
        const ll_coil_peak sd = peak_deviation(f, &found.peak);
        found.peak_sd = (ll_coil_peak){hypot(wider * sd.f_hz, least_peak_sd),
                                       hypot(wider * sd.ohm, least_width_sd),
                                       hypot(wider * sd.q, least_width_sd)};
    }
    found.rest = rest_of(p, &found.model);
    *out = found;
}

static bool points_fit(size_t n, const ll_impedance_point *point)
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite(point[i].re_ohm) || !isfinite(point[i].im_ohm) || !(point[i].sd_ohm >= 0) ||
            !(point[i].f_hz > (i ? point[i - 1].f_hz : 0)))
            return false;
    return n >= LEAST_POINTS;
}

ll_status ll_coil_find(size_t n, const ll_impedance_point *point, ll_coil_found *out)
{
    if (!points_fit(n, point))
        return LL_BAD_VALUE;
    double *room = malloc(4 * n * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    problem p = {n, point, room, room + n, room + 2 * n, room + 3 * n, 0, false};
    fitted best;
    for (size_t i = 0; i < n; i++) {
        const double size = hypot(point[i].re_ohm, point[i].im_ohm);
        p.f_hz[i] = point[i].f_hz;
        p.weight[i] = 1 / hypot(point[i].sd_ohm, least_share * size);
    }
    const ll_status status = search(&p, &best);
    if (!status)
        tell(&p, &best, out);
    free(room);
    return status;
}
