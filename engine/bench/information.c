/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The information that a test is expected to give about which fault it is: the mutual information
 *   I = E log2( p(y | fault) / p(y) ),  y and the fault drawn from what is believed now
 * (D. V. Lindley, On a measure of the information provided by an experiment, Ann. Math. Stat. 27, 1956). The densities are exact
 * sums over the faults' points; only the expectation is sampled, the faults in strict proportion to their probability. */
#include "base/gsl.h"
#include "bench/normal.h"
#include "bench/weigh.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

enum { SAMPLES = 400 };
/* What is less likely than this can neither win nor cost much. */
static const double negligible = 1e-4;

/* One point of a hypothesis that still counts. */
typedef struct candidate {
    size_t hypothesis;
    double weight; /* probability of the hypothesis times the point's share */
    ll_normal normal;
} candidate;

typedef struct field {
    const ll_bench *bench;
    size_t count;
    candidate *list;
    size_t n; /* readings of the test */
    size_t *which;
    double *work, *deviate, *value;
} field;

static void field_clear(field *f)
{
    for (size_t i = 0; i < f->count; i++)
        ll_normal_clear(&f->list[i].normal);
    free(f->list);
    free(f->which);
    free(f->work);
}

static ll_status add_candidates(field *f, const double *probability, const double *share)
{
    for (size_t h = 0, at = 0; h < f->bench->hypotheses; h++)
        for (size_t p = 0; p < f->bench->hypothesis[h].points; p++, at++) {
            const double weight = probability[h] * share[at];
            if (weight < negligible)
                continue;
            candidate *c = &f->list[f->count];
            *c = (candidate){.hypothesis = h, .weight = weight};
            const ll_status status = ll_normal_make(f->bench, h, p, f->n, f->which, &c->normal);
            if (status)
                return status;
            f->count++;
        }
    return LL_OK;
}

static ll_status field_open(const ll_bench *bench, size_t test, const double *probability,
                            const double *share, field *f)
{
    *f = (field){.bench = bench};
    f->list = malloc((ll_bench_points(bench) + 1) * sizeof *f->list);
    f->which = malloc((bench->readings + 1) * sizeof *f->which);
    f->work = malloc((3 * bench->readings + 1) * sizeof *f->work);
    if (!f->list || !f->which || !f->work)
        return LL_NO_MEMORY;
    for (size_t i = 0; i < bench->readings; i++)
        if (bench->reading[i].test == test)
            f->which[f->n++] = i;
    f->deviate = f->work + bench->readings;
    f->value = f->deviate + bench->readings;
    return add_candidates(f, probability, share);
}

/* Candidate at a rank from 0 to 1 of the weights in a row. */
static const candidate *pick(const field *f, double rank)
{
    double sum = 0, total = 0;
    for (size_t i = 0; i < f->count; i++)
        total += f->list[i].weight;
    for (size_t i = 0; i < f->count; i++) {
        sum += f->list[i].weight / total;
        if (rank < sum)
            return &f->list[i];
    }
    return &f->list[f->count - 1];
}

/* log2 of p(y | h) / p(y) for the value at hand. */
static double surprise(field *f, size_t truth)
{
    double all = 0, own = 0, weight = 0, total = 0;
    for (size_t i = 0; i < f->count; i++) {
        const candidate *c = &f->list[i];
        const double p =
            c->weight * exp(ll_normal_log(f->bench, &c->normal, f->value, f->work, NULL));
        all += p;
        total += c->weight;
        if (c->hypothesis == truth) {
            own += p;
            weight += c->weight;
        }
    }
    return all > 0 && own > 0 ? log2(own / weight * total / all) : 0;
}

static double expected(field *f, gsl_rng *random)
{
    double sum = 0;
    for (size_t s = 0; s < SAMPLES && f->count; s++) {
        const candidate *c = pick(f, ((double)s + 0.5) / SAMPLES);
        for (size_t k = 0; k < f->n; k++)
            f->deviate[k] = gsl_ran_ugaussian(random);
        ll_normal_sample(f->bench, &c->normal, f->deviate, f->value);
        sum += surprise(f, c->hypothesis) / SAMPLES;
    }
    return fmax(0, sum);
}

ll_status ll_bench_information(const ll_bench *bench, const double *probability,
                               const double *share, double *bits)
{
    const size_t tests = bench->readings ? bench->reading[bench->readings - 1].test + 1 : 0;
    double *found = malloc((tests + 1) * sizeof *found);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    ll_status status = found && random ? LL_OK : LL_NO_MEMORY;
    if (random)
        gsl_rng_set(random, 1);
    for (size_t t = 0; t < tests && !status; t++) {
        field f;
        status = field_open(bench, t, probability, share, &f);
        if (!status)
            found[t] = expected(&f, random);
        field_clear(&f);
    }
    for (size_t t = 0; t < tests && !status; t++)
        bits[t] = found[t];
    if (random)
        gsl_rng_free(random);
    free(found);
    return status;
}
