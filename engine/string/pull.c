/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/pull.h"
#include "base/constants.h"
#include "string/slopes.h"

#include <stdlib.h>

/* Step of the differences: the error is about 10 (step / distance to the pole)^2. */
static const double step_m = 0.05e-3;

/* What a place of the axis gives: the force on the charges, which sit on the surface, and half the energy whose slope is about the force
 * on the moments across. */
typedef struct ll_taken {
    double *x_n_m, *z_n_m, *across_j_m; /* [nodes] */
} ll_taken;

/* At rest last: the track stays there. */
enum { BASS, TREBLE, BELOW, ABOVE, REST, PLACES };
static const double steps[PLACES][2] = {{-1, 0}, {1, 0}, {0, -1}, {0, 1}, {0, 0}};

static ll_status take(ll_track *t, int place, const ll_taken *out)
{
    const ll_string *string = t->string;
    ll_status status = ll_track_place(t, NULL, string->x_m + step_m * steps[place][0],
                                      string->z_m + step_m * steps[place][1]);
    if (!status)
        status = ll_track_magnetise(t, true);
    for (size_t i = 0; i < t->nodes && !status; i++) {
        const ll_vec3 h = ll_track_around(t, t->h, i, 0.25);
        out->x_n_m[i] = LL_MU0 * t->bias.charge[i] * h.x;
        out->z_n_m[i] = LL_MU0 * t->bias.charge[i] * h.z;
        out->across_j_m[i] = LL_MU0 / 2 * ll_dot(t->moment[i], t->h[i]);
    }
    return status;
}

/* The crossed gradient is the mean of both orders of the force on the charges; that of the small rest is left out. */
static void fill_node(const ll_taken *t, size_t i, double *const column[5])
{
    const double per = 1 / (2 * step_m), bend = 1 / (step_m * step_m);
    const double rest = 2 * t[REST].across_j_m[i];
    column[0][i] = t[REST].x_n_m[i];
    column[1][i] = t[REST].z_n_m[i];
    column[2][i] = per * (t[TREBLE].x_n_m[i] - t[BASS].x_n_m[i]) +
                   bend * (t[TREBLE].across_j_m[i] + t[BASS].across_j_m[i] - rest);
    column[3][i] =
        per / 2 * (t[ABOVE].x_n_m[i] - t[BELOW].x_n_m[i] + t[TREBLE].z_n_m[i] - t[BASS].z_n_m[i]);
    column[4][i] = per * (t[ABOVE].z_n_m[i] - t[BELOW].z_n_m[i]) +
                   bend * (t[ABOVE].across_j_m[i] + t[BELOW].across_j_m[i] - rest);
}

/* One block of memory: the struct, then y and the five columns. */
static ll_pull *pull_alloc(size_t points, double **y, double *column[5])
{
    ll_pull *pull = calloc(1, sizeof *pull + 6 * points * sizeof(double));
    if (!pull)
        return NULL;
    *y = (double *)(pull + 1);
    for (size_t c = 0; c < 5; c++)
        column[c] = *y + (c + 1) * points;
    *pull = (ll_pull){points, *y, column[0], column[1], column[2], column[3], column[4]};
    return pull;
}

/* The force on the moments across where the string rests: mu0 p . dH/du, the steel's answer being that to the string there. In the
 * slopes of the force, a small part of a small part, the answer follows the string. */
static ll_status add_across(ll_track *t, double *const column[5])
{
    ll_slopes slopes;
    const ll_status status = ll_slopes_find(t, NULL, &slopes, NULL);
    if (status)
        return status;
    for (size_t i = 0; i < t->nodes; i++) {
        column[0][i] += LL_MU0 * ll_dot(t->moment[i], slopes.by_x[i]);
        column[1][i] += LL_MU0 * ll_dot(t->moment[i], slopes.by_z[i]);
    }
    ll_slopes_clear(&slopes);
    return LL_OK;
}

static ll_status take_all(ll_track *t, double *const column[5])
{
    ll_taken taken[PLACES];
    double *room = malloc(3 * PLACES * t->nodes * sizeof *room);
    ll_status status = room ? LL_OK : LL_NO_MEMORY;
    for (int p = 0; p < PLACES && !status; p++) {
        double *own = room + 3 * (size_t)p * t->nodes;
        taken[p] = (ll_taken){own, own + t->nodes, own + 2 * t->nodes};
        status = take(t, p, &taken[p]);
    }
    for (size_t i = 0; i < t->nodes && !status; i++)
        fill_node(taken, i, column);
    free(room);
    return status ? status : add_across(t, column);
}

ll_status ll_pull_new(const ll_solution *s, const ll_string *string, double from_bridge_m,
                      ll_pull **out)
{
    ll_track track;
    ll_status status = ll_string_check(string);
    if (!status)
        status = ll_track_new(s, string, &track);
    if (status)
        return status;
    double *y = NULL, *column[5] = {NULL};
    ll_pull *pull = pull_alloc(track.nodes, &y, column);
    status = pull ? LL_OK : LL_NO_MEMORY;
    if (!status && ll_string_is_silent(string))
        status = ll_track_place(&track, NULL, string->x_m, string->z_m);
    else if (!status)
        status = take_all(&track, column);
    for (size_t i = 0; i < track.nodes && !status; i++)
        y[i] = from_bridge_m + track.y_m[i];
    ll_track_clear(&track);
    if (status)
        ll_pull_free(pull);
    else
        *out = pull;
    return status;
}

void ll_pull_free(ll_pull *pull)
{
    free(pull);
}
