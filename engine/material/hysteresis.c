/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/hysteresis.h"
#include "base/constants.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Steps of r against the charge, out to this many times the field at which J is zero. */
enum { STEPS = 600 };
static const double reach = 1.5;
/* How sharply a straight law's grains switch, see the header. */
static const double sharpness = 10;

struct ll_hysteresis {
    ll_material *material;
    bool straight;
    double jr_t;
    double zero_h_a_m; /* J of the charged magnet is zero at minus this */
    double hcr_a_m;    /* and its remanence, when let go from minus this */
    double first_h_m;  /* r'(0) */
    double step_a_m;
    double r_t[STEPS + 1], slope_h_m[STEPS + 1]; /* -r and r' at -i steps */
};

/* J and its slope on the curve of the charged magnet. */
static double major_j(const ll_material *m, double h, double *slope)
{
    double b, db;
    ll_material_b(m, h, &b, &db);
    if (slope)
        *slope = db - LL_MU0;
    return b - LL_MU0 * h;
}

/* ---- how grains bend ---- */

static double levelling(double size, double slope, double scale, double *slope_there)
{
    const double x = 1 + size / scale;
    *slope_there = slope / (x * x);
    return slope * size / x;
}

/* r and its slope at h, along the charge (h > 0) or against it. */
static double bend(const ll_hysteresis *l, double h, double *slope)
{
    if (h >= 0)
        return levelling(h, l->first_h_m, 2 * l->zero_h_a_m, slope);
    const double x = -h / l->step_a_m;
    if (x >= STEPS)
        return -l->r_t[STEPS] -
               levelling(-h - STEPS * l->step_a_m, l->slope_h_m[STEPS], l->zero_h_a_m, slope);
    const int i = (int)x;
    const double t = x - i, change = l->slope_h_m[i + 1] - l->slope_h_m[i];
    *slope = l->slope_h_m[i] + t * change;
    return -l->r_t[i] - l->step_a_m * t * (l->slope_h_m[i] + 0.5 * t * change);
}

static void tabulate_bend(ll_hysteresis *l)
{
    const double recoil = LL_MU0 * (ll_material_mu_r(l->material) - 1);
    l->step_a_m = reach * l->zero_h_a_m / STEPS;
    l->r_t[0] = 0;
    for (int i = 0; i <= STEPS; i++) {
        double slope;
        major_j(l->material, -i * l->step_a_m, &slope);
        l->slope_h_m[i] = fmax(0, fmin(recoil, slope));
        if (i > 0)
            l->r_t[i] = l->r_t[i - 1] + 0.5 * l->step_a_m * (l->slope_h_m[i - 1] + l->slope_h_m[i]);
    }
    l->first_h_m = l->slope_h_m[0];
}

/* ---- how many have switched ---- */

static double switched_by_line(const ll_hysteresis *l, double h, double *slope)
{
    if (!(h > 0)) {
        *slope = 0;
        return 0;
    }
    const double x = pow(l->hcr_a_m / h, sharpness);
    *slope = sharpness * x / (h * (1 + x) * (1 + x));
    return 1 / (1 + x);
}

/* Up to hcr. */
static double switched_by_curve(const ll_hysteresis *l, double h, double *slope)
{
    double against, along, fall;
    const double r = bend(l, -h, &against), e = bend(l, h, &along);
    const double j = major_j(l->material, -h, &fall);
    const double part = l->jr_t + r - j, whole = 2 * l->jr_t + r + e;
    *slope = (fall - against) / whole - part * (along - against) / (whole * whole);
    return part / whole;
}

double ll_hysteresis_switched(const ll_hysteresis *l, double h, double *slope)
{
    double unused = 0;
    double *to = slope ? slope : &unused;
    if (isinf(h)) {
        *to = 0;
        return 1;
    }
    if (l->straight)
        return switched_by_line(l, h, to);
    if (h <= l->hcr_a_m)
        return switched_by_curve(l, h, to);
    const double image = l->hcr_a_m * l->hcr_a_m / h;
    const double left = switched_by_curve(l, image, to);
    *to *= image / h;
    return 1 - left;
}

double ll_hysteresis_coercivity_a_m(const ll_hysteresis *l)
{
    return l->hcr_a_m;
}

/* ---- making ---- */

/* Where a falling function of h comes to zero between 0 and most; HUGE_VAL if it does not. */
static double falls_to_zero(double (*f)(const ll_hysteresis *, double), const ll_hysteresis *l,
                            double most)
{
    double low = 0, high = most;
    if (f(l, most) > 0)
        return HUGE_VAL;
    for (int k = 0; k < 100; k++) {
        const double mid = 0.5 * (low + high);
        *(f(l, mid) > 0 ? &low : &high) = mid;
    }
    return high;
}

static double major_at(const ll_hysteresis *l, double h)
{
    return major_j(l->material, -h, NULL);
}

static double half_left(const ll_hysteresis *l, double h)
{
    double unused = 0;
    return 0.5 - switched_by_curve(l, h, &unused);
}

static ll_status fit(ll_hysteresis *l, double coercivity_a_m)
{
    static const double most_h = 1e7; /* ten times what the hardest magnets have */
    if (l->straight && !(coercivity_a_m > 0 && coercivity_a_m < most_h))
        return LL_BAD_VALUE;
    l->zero_h_a_m = l->straight ? coercivity_a_m : falls_to_zero(major_at, l, most_h);
    if (!(l->zero_h_a_m > 0 && isfinite(l->zero_h_a_m)))
        return LL_BAD_CURVE;
    tabulate_bend(l);
    l->hcr_a_m = l->straight ? coercivity_a_m : falls_to_zero(half_left, l, reach * l->zero_h_a_m);
    return isfinite(l->hcr_a_m) ? LL_OK : LL_BAD_CURVE;
}

ll_status ll_hysteresis_new(const ll_material *magnet, double coercivity_a_m, ll_hysteresis **out)
{
    if (ll_material_kind(magnet) != LL_MAGNET)
        return LL_BAD_VALUE;
    ll_hysteresis *l = calloc(1, sizeof *l);
    if (!l)
        return LL_NO_MEMORY;
    l->material = ll_material_share(magnet);
    l->straight = ll_material_is_linear(magnet);
    l->jr_t = ll_material_remanence_t(magnet);
    const ll_status status = fit(l, coercivity_a_m);
    if (status)
        ll_hysteresis_free(l);
    else
        *out = l;
    return status;
}

void ll_hysteresis_free(ll_hysteresis *l)
{
    if (!l)
        return;
    ll_material_free(l->material);
    free(l);
}

/* ---- turns ---- */

/* How many turns a field of that size leaves standing. */
static int left_standing(const ll_turns *t, double h)
{
    int n = t->n;
    while (n > 0 && fabs(t->at_a_m[n - 1]) <= fabs(h))
        n--;
    return n;
}

/* Whether the field moves grains: those below it are not its way already. */
static bool moves(const ll_turns *t, int n, double h)
{
    return h != 0 && (n == 0 || (t->at_a_m[n - 1] > 0) != (h > 0));
}

/* Takes out the two turns, one after the other, between which the fewest grains switch: those go the way of their neighbours. */
static void forget_least(const ll_hysteresis *l, ll_turns *t)
{
    int nearest = 1;
    double least = HUGE_VAL, before = ll_hysteresis_switched(l, fabs(t->at_a_m[1]), NULL);
    for (int k = 1; k + 1 < t->n; k++) {
        const double after = ll_hysteresis_switched(l, fabs(t->at_a_m[k + 1]), NULL);
        if (before - after < least) {
            least = before - after;
            nearest = k;
        }
        before = after;
    }
    t->n -= 2;
    memmove(&t->at_a_m[nearest], &t->at_a_m[nearest + 2],
            (size_t)(t->n - nearest) * sizeof *t->at_a_m);
}

void ll_hysteresis_turn(const ll_hysteresis *l, ll_turns *t, double h)
{
    t->n = left_standing(t, h);
    if (!moves(t, t->n, h))
        return;
    if (t->n == LL_TURNS_MOST)
        forget_least(l, t);
    t->at_a_m[t->n++] = h;
}

/* mu, and how it goes with h. */
static double share(const ll_hysteresis *l, const ll_turns *t, double h, double *slope)
{
    const int n = left_standing(t, h);
    double sum = 0, outer = 0;
    for (int k = 0; k < n; k++) {
        const double p = ll_hysteresis_switched(l, fabs(t->at_a_m[k]), NULL);
        /* All below this turn go its way; the virgin ones were nowhere, the others went the other way. */
        sum += (t->at_a_m[k] > 0 ? 1 : -1) * (k == 0 ? p : 2 * p);
        outer = t->at_a_m[k] > 0 ? 1 : -1;
    }
    *slope = 0;
    if (!moves(t, n, h))
        return sum;
    double dp;
    const double p = ll_hysteresis_switched(l, fabs(h), &dp), times = outer == 0 ? 1 : 2;
    *slope = times * dp;
    return sum + (h > 0 ? times * p : -times * p);
}

double ll_hysteresis_charge(const ll_hysteresis *l, const ll_turns *turns, double h)
{
    double unused = 0;
    return share(l, turns, h, &unused);
}

double ll_hysteresis_b(const ll_hysteresis *l, const ll_turns *turns, double h, double *slope)
{
    double dmu, forth_slope, back_slope;
    const double mu = share(l, turns, h, &dmu);
    const double forth = l->jr_t + bend(l, h, &forth_slope);
    const double back = l->jr_t + bend(l, -h, &back_slope);
    if (slope)
        *slope =
            LL_MU0 + 0.5 * (dmu * (forth + back) + (1 + mu) * forth_slope + (1 - mu) * back_slope);
    return LL_MU0 * h + 0.5 * ((1 + mu) * forth - (1 - mu) * back);
}
