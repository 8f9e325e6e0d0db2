/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/side_points.h"

#include <math.h>

ll_status ll_rule_fill(int points, ll_rule *rule)
{
    rule->points = points;
    return ll_gauss_points(points, rule->at, rule->weight);
}

ll_status ll_side_rules_fill(int far_points, ll_side_rules *rules)
{
    ll_status status = ll_rule_fill(far_points, &rules->far);
    if (!status)
        status = ll_rule_fill(far_points + 1, &rules->stretch);
    return status ? status : ll_rule_fill(far_points + 8, &rules->singular);
}

typedef struct ll_gathered {
    double *at, *weight;
    int count;
} ll_gathered;

/* Gauss points on the stretch from a to b of a side, both from its start. */
static void add_stretch(const ll_rule *rule, const ll_side *side, double a, double b,
                        ll_gathered *p)
{
    for (int i = 0; i < rule->points; i++, p->count++) {
        p->at[p->count] = 2 * (a + 0.5 * (b - a) * (1 + rule->at[i])) / side->length - 1;
        p->weight[p->count] = 0.5 * fabs(b - a) * rule->weight[i];
    }
}

/* The stretch of length `left` from `foot` on, whose end is singular there. */
static void add_singular(const ll_rule *rule, const ll_side *side, double foot, double left,
                         ll_gathered *p)
{
    for (int i = 0; i < rule->points; i++, p->count++) {
        const double u = 0.5 * (1 + rule->at[i]), u3 = u * u * u;
        p->at[p->count] = 2 * (foot + left * u3 * u) / side->length - 1;
        p->weight[p->count] = 2 * u3 * fabs(left) * rule->weight[i];
    }
}

int ll_side_points(const ll_side_rules *rules, const ll_side *side, double r, double z,
                   double *at, /* NOLINT(readability-non-const-parameter): written by way of p */
                   double *weight) /* NOLINT(readability-non-const-parameter): so is this */
{
    /* As a share of a side's length or of the distance: beyond this a single rule is exact enough. */
    const double far = 1.5, shrink = 0.35, touching = 1e-9;
    const double along = side->along_r ? r - side->r[0] : z - side->z[0];
    const double across = side->along_r ? z - side->z[0] : r - side->r[0];
    const double foot = fmin(side->length, fmax(0, along)), d = hypot(along - foot, across);
    ll_gathered p = {at, weight, 0};
    if (d > far * side->length) {
        add_stretch(&rules->far, side, 0, side->length, &p);
        return p.count;
    }
    for (int way = -1; way <= 1; way += 2) {
        double end = way > 0 ? side->length - foot : foot;
        if (end < 1e-12 * side->length)
            continue;
        if (d < touching * side->length) {
            add_singular(&rules->singular, side, foot, way * end, &p);
            continue;
        }
        while (end > far * d) {
            add_stretch(&rules->stretch, side, foot + way * shrink * end, foot + way * end, &p);
            end *= shrink;
        }
        add_stretch(&rules->stretch, side, foot, foot + way * end, &p);
    }
    return p.count;
}
