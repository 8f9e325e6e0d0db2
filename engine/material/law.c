/* law.c - straight and arctangent laws, and monotone curves through given points.
 *
 * A curve is interpolated in its polarisation J = B - mu0 H, which never falls along a magnetisation or
 * demagnetisation curve; B then rises at least as fast as in vacuum, between the points too.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/law.h"
#include "base/constants.h"
#include "material/law_key.h"

#include <math.h>
#include <stdlib.h>

/* Rounded figures in a datasheet may let the polarisation fall by this share of mu0 H. */
static const double slope_tolerance = 0.01;

static void straight_b(const ll_law *law, double h, double *b, double *slope)
{
    *b = law->slope_h_m * h + law->remanence_t;
    *slope = law->slope_h_m;
}

ll_law ll_law_straight(double remanence_t, double mu_r)
{
    return (ll_law){.b_of_h = straight_b, .remanence_t = remanence_t, .slope_h_m = LL_MU0 * mu_r};
}

bool ll_law_is_straight(const ll_law *law)
{
    return law->b_of_h == straight_b;
}

static void arctan_b(const ll_law *law, double h, double *b, double *slope)
{
    const double x = law->gain_m_a * h, js = law->js_t * 2.0 / LL_PI;
    *b = LL_MU0 * h + js * atan(x);
    *slope = LL_MU0 + js * law->gain_m_a / (1.0 + x * x);
}

ll_status ll_law_arctan(double js_t, double mu_initial, ll_law *out)
{
    const double gain = LL_PI * LL_MU0 * (mu_initial - 1.0) / (2.0 * js_t);
    if (!(js_t > 0.0 && mu_initial > 1.0 && isfinite(js_t) && isfinite(gain)))
        return LL_BAD_VALUE;
    *out = (ll_law){.b_of_h = arctan_b, .js_t = js_t, .gain_m_a = gain};
    return LL_OK;
}

/* The piece that holds h, by halving without branches; h is not below the first point. */
static const ll_piece *find_piece(const ll_law *law, double h)
{
    const ll_piece *piece = law->pieces;
    for (size_t left = law->n; left > 1;) {
        const size_t half = left / 2;
        piece += piece[half].h_a_m <= h ? half : 0;
        left -= half;
    }
    return piece;
}

static void piece_b(const ll_piece *p, double h, double *b, double *slope)
{
    const double t = h - p->h_a_m;
    *b = p->b_t + t * (p->slope + t * (p->square + t * p->cube));
    *slope = p->slope + t * (2.0 * p->square + t * 3.0 * p->cube);
}

/* Initial magnetisation curve, the same both ways. */
static void steel_b(const ll_law *law, double h, double *b, double *slope)
{
    const double size = fabs(h);
    piece_b(find_piece(law, size), size, b, slope);
    *b = copysign(*b, h);
}

/* Beyond the last point the polarisation falls on along the first chord to zero and then mirrors itself, as the branch of a
 * loop does that is driven to saturation the other way. */
static void magnet_b(const ll_law *law, double h, double *b, double *slope)
{
    const ll_piece *first = law->pieces;
    if (h >= first->h_a_m) {
        piece_b(find_piece(law, h), h, b, slope);
        return;
    }
    const double j = first->b_t - LL_MU0 * first->h_a_m, fall = first->slope - LL_MU0;
    const double below = first->h_a_m - h, span = fall > 0.0 ? 2.0 * j / fall : HUGE_VAL;
    if (below <= span) {
        *b = first->b_t - first->slope * below;
        *slope = first->slope;
        return;
    }
    const double mirrored = first->h_a_m + below - span;
    double b_mirrored;
    piece_b(find_piece(law, mirrored), mirrored, &b_mirrored, slope);
    *b = LL_MU0 * h - (b_mirrored - LL_MU0 * mirrored);
}

/* Slope of the polarisation over the interval that starts at point i. */
static double chord(const double (*hb)[2], size_t i)
{
    return (hb[i + 1][1] - hb[i][1]) / (hb[i + 1][0] - hb[i][0]) - LL_MU0;
}

/* Slope at an inner point after Steffen, Astron. Astrophys. 239 (1990) 443, eqs. 6 and 11: no interval
 * overshoots its ends. The ends of the curve take the slope of their chord. Done here rather than with
 * gsl_interp_steffen since that needs three points and a lookup state for each thread. */
static double polarisation_slope(size_t n, const double (*hb)[2], size_t i)
{
    if (i == 0)
        return chord(hb, 0);
    if (i == n - 1)
        return chord(hb, n - 2);
    const double before = chord(hb, i - 1), after = chord(hb, i);
    const double step_before = hb[i][0] - hb[i - 1][0], step_after = hb[i + 1][0] - hb[i][0];
    const double parabola =
        (before * step_after + after * step_before) / (step_before + step_after);
    if (before * after <= 0.0)
        return 0.0;
    const double least = fmin(fmin(fabs(before), fabs(after)), 0.5 * fabs(parabola));
    return copysign(2.0 * least, before);
}

/* Hermite's cubic from its end slopes, with mu0 H put back. */
static ll_piece piece_between(const double (*hb)[2], size_t i, double slope, double slope_after)
{
    const double step = hb[i + 1][0] - hb[i][0], mean = chord(hb, i);
    return (ll_piece){
        .h_a_m = hb[i][0],
        .b_t = hb[i][1],
        .slope = slope + LL_MU0,
        .square = (3.0 * mean - 2.0 * slope - slope_after) / step,
        .cube = (slope + slope_after - 2.0 * mean) / (step * step),
    };
}

static ll_status check_curve(size_t n, const double (*hb)[2])
{
    if (n < 2)
        return LL_BAD_CURVE;
    for (size_t i = 0; i < n; i++)
        if (!isfinite(hb[i][0]) || !isfinite(hb[i][1]))
            return LL_BAD_VALUE;
    for (size_t i = 0; i + 1 < n; i++) {
        const double slope = chord(hb, i);
        if (!(hb[i + 1][0] > hb[i][0]) || !isfinite(slope) || slope < -slope_tolerance * LL_MU0)
            return LL_BAD_CURVE;
    }
    return LL_OK;
}

static ll_status fit_curve(size_t n, const double (*hb)[2], ll_law *out)
{
    ll_piece *pieces = malloc(n * sizeof *pieces);
    if (!pieces)
        return LL_NO_MEMORY;
    double slope = polarisation_slope(n, hb, 0);
    for (size_t i = 0; i + 1 < n; i++) {
        const double after = polarisation_slope(n, hb, i + 1);
        pieces[i] = piece_between(hb, i, slope, after);
        slope = after;
    }
    pieces[n - 1] = (ll_piece){.h_a_m = hb[n - 1][0], .b_t = hb[n - 1][1], .slope = slope + LL_MU0};
    *out = (ll_law){.n = n, .pieces = pieces};
    return LL_OK;
}

ll_status ll_law_steel_curve(size_t n, const double (*hb)[2], ll_law *out)
{
    ll_status status = check_curve(n, hb);
    if (!status && (hb[0][0] != 0.0 || hb[0][1] != 0.0))
        status = LL_BAD_CURVE;
    if (!status)
        status = fit_curve(n, hb, out);
    if (status)
        return status;
    out->b_of_h = steel_b;
    /* Saturated: nothing but vacuum is left to magnetise. */
    out->pieces[n - 1].slope = LL_MU0;
    return LL_OK;
}

ll_status ll_law_magnet_curve(size_t n, const double (*hb)[2], ll_law *out)
{
    ll_status status = check_curve(n, hb);
    if (!status && (hb[n - 1][0] != 0.0 || hb[0][1] < 0.0))
        status = LL_BAD_CURVE;
    if (!status && hb[n - 1][1] > LL_MOST_REMANENCE_T)
        status = LL_BAD_VALUE;
    if (!status)
        status = fit_curve(n, hb, out);
    if (status)
        return status;
    out->b_of_h = magnet_b;
    out->remanence_t = hb[n - 1][1];
    return LL_OK;
}

/* ---- what its results depend on ---- */

static void add_kind(ll_key *key, const void *whole)
{
    void (*const kinds[])(const ll_law *, double, double *, double *) = {straight_b, arctan_b,
                                                                         steel_b, magnet_b};
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++)
        ll_key_add(key, ((const ll_law *)whole)->b_of_h == kinds[k]);
}

static void add_pieces(ll_key *key, const void *whole)
{
    const ll_law *law = whole;
    for (size_t i = 0; i < law->n; i++)
        ll_key_add_members(key, &ll_piece_members, &law->pieces[i]);
}

static const ll_member of_piece[] = {
    LL_MEMBER(ll_piece, h_a_m, LL_MEMBER_NUMBERS), LL_MEMBER(ll_piece, b_t, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_piece, slope, LL_MEMBER_NUMBERS), LL_MEMBER(ll_piece, square, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_piece, cube, LL_MEMBER_NUMBERS),
};
const ll_members ll_piece_members = LL_MEMBERS(ll_piece, of_piece);

static const ll_member of_law[] = {
    LL_MEMBER_TOLD(ll_law, b_of_h, add_kind),
    LL_MEMBER(ll_law, remanence_t, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_law, slope_h_m, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_law, js_t, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_law, gain_m_a, LL_MEMBER_NUMBERS),
    LL_MEMBER(ll_law, n, LL_MEMBER_COUNT),
    LL_MEMBER_TOLD(ll_law, pieces, add_pieces),
};
const ll_members ll_law_members = LL_MEMBERS(ll_law, of_law);
