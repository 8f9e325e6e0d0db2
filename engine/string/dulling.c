/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/dulling.h"
#include "base/constants.h"
#include "base/geometry.h"
#include "string/track.h"

#include <stdlib.h>
#include <string.h>

/* As in hearing.c, where the equation stands. */
static const double step_m = 0.1e-3;

typedef struct ll_work {
    const ll_eddies *eddies;
    const double *share;
    double complex *slope; /* [samples] */
    ll_vec3 *real, *imag;  /* [nodes] field of the coils together */
    ll_vec3 *own;          /* [2 nodes] of one of them */
} ll_work;

/* The changed field of all coils at the nodes of a track. */
static ll_status hear(const ll_work *w, const ll_track *t, size_t sample)
{
    const size_t coils = ll_scene_coil_count(ll_solution_scene(t->solution));
    ll_status status = LL_OK;
    memset(w->real, 0, t->nodes * sizeof *w->real);
    memset(w->imag, 0, t->nodes * sizeof *w->imag);
    for (size_t c = 0; c < coils && !status; c++) {
        if (w->share[c] == 0)
            continue;
        status =
            ll_eddies_coil_h(w->eddies, sample, c, t->nodes, t->at_m, w->own, w->own + t->nodes);
        for (size_t i = 0; i < t->nodes && !status; i++) {
            w->real[i] = ll_add(w->real[i], ll_scale(w->share[c], w->own[i]));
            w->imag[i] = ll_add(w->imag[i], ll_scale(w->share[c], w->own[t->nodes + i]));
        }
    }
    return status;
}

/* integral mu0 (q_c H_z + q H_c,z) dy. */
static double charges(const ll_track *t)
{
    double sum = 0;
    for (size_t i = 0; i < t->nodes; i++)
        sum += LL_MU0 * t->length_m[i] *
               (t->coil.charge[i] * ll_track_around(t, t->h, i, 0.25).z +
                t->bias.charge[i] * ll_track_around(t, t->h_coil, i, 0.25).z);
    return sum;
}

/* integral mu0 A a (H . H_c across the string) dy, A a that of the string at rest. */
static double across(const ll_track *rest, const ll_track *t)
{
    double sum = 0;
    for (size_t i = 0; i < rest->nodes; i++)
        sum += LL_MU0 * rest->length_m[i] * ll_track_across(rest, i) *
               (t->h[i].x * t->h_coil[i].x + t->h[i].z * t->h_coil[i].z);
    return sum;
}

/* One part of the coils' field, given to the track. */
static ll_status add_charges(const ll_work *w, ll_track *t, size_t sample)
{
    ll_status status = hear(w, t, sample);
    double part[2] = {0, 0};
    for (int i = 0; i < 2 && !status; i++) {
        memcpy(t->h_coil, i ? w->imag : w->real, t->nodes * sizeof *t->h_coil);
        status = ll_track_excite(t, false);
        part[i] = charges(t);
    }
    w->slope[sample] += part[0] + I * part[1];
    return status;
}

static ll_status add_crosswise(const ll_work *w, const ll_track *rest, ll_track *side,
                               double factor, size_t sample)
{
    const ll_status status = hear(w, side, sample);
    double part[2] = {0, 0};
    for (int i = 0; i < 2 && !status; i++) {
        memcpy(side->h_coil, i ? w->imag : w->real, side->nodes * sizeof *side->h_coil);
        part[i] = across(rest, side);
    }
    w->slope[sample] += factor * (part[0] + I * part[1]);
    return status;
}

static ll_status add_all(const ll_work *w, ll_track *rest, ll_track *side)
{
    const ll_string *string = rest->string;
    const size_t samples = ll_eddies_samples(w->eddies);
    ll_status status = ll_track_place(rest, NULL, string->x_m, string->z_m);
    if (!status)
        status = ll_track_magnetise(rest, true);
    for (size_t k = 0; k < samples && !status; k++)
        status = add_charges(w, rest, k);
    for (int sign = -1; sign <= 1 && !status; sign += 2) {
        status = ll_track_place(side, NULL, string->x_m, string->z_m + sign * step_m);
        for (size_t k = 0; k < samples && !status; k++)
            status = add_crosswise(w, rest, side, sign / (2 * step_m), k);
    }
    return status;
}

static ll_status sample_slopes(ll_work *w, const ll_string *string)
{
    const ll_solution *solution = ll_eddies_solution(w->eddies);
    ll_track rest, side;
    ll_status status = ll_track_new(solution, string, &rest);
    if (status)
        return status;
    status = ll_track_new(solution, string, &side);
    if (!status) {
        w->slope = calloc(ll_eddies_samples(w->eddies) + 1, sizeof *w->slope);
        w->real = malloc((4 * rest.nodes + 1) * sizeof *w->real);
        w->imag = w->real ? w->real + rest.nodes : NULL;
        w->own = w->real ? w->real + 2 * rest.nodes : NULL;
        status = w->slope && w->real ? add_all(w, &rest, &side) : LL_NO_MEMORY;
        ll_track_clear(&side);
    }
    ll_track_clear(&rest);
    return status;
}

ll_status ll_dulling(const ll_eddies *eddies, const double *share, const ll_string *string,
                     size_t count, const double *f_hz, double complex *change_wb_m)
{
    ll_work w = {.eddies = eddies, .share = share};
    ll_status status = ll_string_check(string);
    if (status)
        return status;
    if (ll_string_is_silent(string)) {
        memset(change_wb_m, 0, count * sizeof *change_wb_m);
        return LL_OK;
    }
    status = sample_slopes(&w, string);
    if (!status)
        ll_eddies_between(eddies, w.slope, count, f_hz, change_wb_m);
    free(w.slope);
    free(w.real);
    return status;
}
