/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "signal/voice.h"
#include "signal/voice_motion.h"
#include "string/hearing.h"
#include "string/pull.h"

#include <math.h>
#include <stdlib.h>

struct ll_voice {
    size_t partials;
    ll_mode_pair *pairs; /* [partials] */
    double pluck_rad;    /* direction of the pluck */
    ll_motion *motion;
    size_t ears;
    ll_linkage_map **map; /* [ears] */
};

/* Of all that the aperture hears so much must be left, or its coils are heard one by one: the mean displacement in an aperture
 * whose parts cancel says nothing of either. */
static const double least_left = 0.5;
/* A coil that hears less than this of what the others do is left out then. */
static const double deaf = 1e-3;

/* Beyond what the partials reach: a map needs some width even where a string hardly moves. */
static const double least_m = 0.05e-3;

void ll_voice_free(ll_voice *voice)
{
    if (!voice)
        return;
    free(voice->pairs);
    ll_motion_free(voice->motion);
    for (size_t i = 0; i < voice->ears; i++)
        ll_linkage_map_free(voice->map[i]);
    free(voice->map);
    free(voice);
}

/* The partials with the magnets' pull on them; without a solution nothing pulls. */
static ll_status detune(const ll_solution *s, const ll_voice_spec *spec,
                        const ll_stiff_string *string, size_t partials, ll_mode_pair *pairs)
{
    ll_pull *pull = NULL;
    ll_status status = s ? ll_pull_new(s, &spec->string, spec->from_bridge_m, &pull) : LL_OK;
    if (!status)
        status = ll_mode_pairs(string, 0, pull, partials, pairs);
    ll_pull_free(pull);
    return status;
}

ll_status ll_voice_motion(const ll_solution *s, const ll_voice_spec *spec, size_t *partials,
                          ll_mode_pair **pairs, ll_motion **motion)
{
    ll_stiff_string string;
    if (!(spec->rate_hz > 0) || !isfinite(spec->from_bridge_m))
        return LL_BAD_VALUE;
    ll_status status = ll_stiff_string_tune(&spec->tuning, &string);
    if (!status)
        status = ll_pluck_check(&spec->pluck, &string);
    if (status)
        return status;
    const size_t count = ll_stiff_string_partials_below(&string, spec->rate_hz / 2);
    if (count == 0)
        return LL_BAD_VALUE;
    ll_mode_pair *pair = malloc(count * sizeof *pair);
    status = pair ? detune(s, spec, &string, count, pair) : LL_NO_MEMORY;
    if (!status)
        status = ll_motion_new(&string, count, pair, &spec->damping, &spec->pluck, motion);
    if (status || !pairs) {
        free(pair);
        return status;
    }
    *partials = count;
    *pairs = pair;
    return LL_OK;
}

/* No further than the displacements of all modes together, were they ever in step, as the aperture sees them. */
static void reach(const ll_motion *motion, const ll_aperture *aperture, double *x_m, double *z_m)
{
    *x_m = *z_m = least_m;
    for (size_t i = 0; i < motion->count; i++) {
        const ll_mode *m = &motion->modes[i];
        const double share = fabs(ll_aperture_comb(aperture, motion->length_m, m->number));
        *x_m += share * fabs(m->x_m);
        *z_m += share * fabs(m->z_m);
    }
}

/* Adds an ear with its own map, over as wide a range as the motion needs. */
static ll_status add_ear(const ll_solution *s, const ll_voice_spec *spec, const double *share,
                         const ll_hearing *hearing, ll_voice *v)
{
    double half_x, half_z;
    const ll_aperture aperture = ll_hearing_aperture(hearing);
    reach(v->motion, &aperture, &half_x, &half_z);
    const ll_status status =
        ll_hearing_map(s, share, &spec->string, &aperture, half_x, half_z, &v->map[v->ears]);
    v->ears += !status;
    return status;
}

static ll_status hear(const ll_solution *s, const ll_voice_spec *spec, const double *share,
                      ll_hearing **hearing)
{
    const ll_status status = ll_hearing_new(s, share, &spec->string, hearing);
    if (!status)
        ll_hearing_from_bridge(*hearing, spec->from_bridge_m);
    return status;
}

/* What the aperture hears, and what it would if nothing in it cancelled. */
static double heard(const ll_hearing *hearing, double *all)
{
    const ll_aperture w = ll_hearing_aperture(hearing);
    double sum = 0;
    *all = 0;
    for (size_t i = 0; i + 1 < w.points; i++) {
        const double half = (w.from_bridge_m[i + 1] - w.from_bridge_m[i]) / 2;
        sum += half * (w.weight[i] + w.weight[i + 1]);
        *all += half * (fabs(w.weight[i]) + fabs(w.weight[i + 1]));
    }
    return fabs(sum);
}

/* Coil by coil. `all`: what they hear together, signs left out. */
static ll_status listen_apart(const ll_solution *s, const ll_voice_spec *spec, size_t coils,
                              double all, ll_voice *v)
{
    double *share = calloc(coils, sizeof *share), own;
    ll_status status = share ? LL_OK : LL_NO_MEMORY;
    for (size_t c = 0; c < coils && !status; c++) {
        ll_hearing *hearing = NULL;
        share[c] = spec->share[c];
        status = hear(s, spec, share, &hearing);
        if (!status && (heard(hearing, &own), own > deaf * all))
            status = add_ear(s, spec, share, hearing, v);
        ll_hearing_free(hearing);
        share[c] = 0;
    }
    free(share);
    return status;
}

static ll_status listen(const ll_solution *s, const ll_voice_spec *spec, ll_voice *v)
{
    const size_t coils = ll_scene_coil_count(ll_solution_scene(s));
    ll_hearing *hearing = NULL;
    double all;
    v->map = calloc(coils + 1, sizeof(ll_linkage_map *));
    ll_status status = v->map ? hear(s, spec, spec->share, &hearing) : LL_NO_MEMORY;
    if (status)
        return status;
    const bool apart = coils > 1 && heard(hearing, &all) < least_left * all;
    status =
        apart ? listen_apart(s, spec, coils, all, v) : add_ear(s, spec, spec->share, hearing, v);
    ll_hearing_free(hearing);
    return status;
}

ll_status ll_voice_new(const ll_solution *s, const ll_voice_spec *spec, ll_voice **out)
{
    ll_voice *v = calloc(1, sizeof *v);
    if (!v)
        return LL_NO_MEMORY;
    v->pluck_rad = spec->pluck.angle_rad;
    ll_status status = ll_voice_motion(s, spec, &v->partials, &v->pairs, &v->motion);
    if (!status)
        status = listen(s, spec, v);
    if (status)
        ll_voice_free(v);
    else
        *out = v;
    return status;
}

size_t ll_voice_ears(const ll_voice *voice)
{
    return voice->ears;
}

ll_heard_string ll_voice_heard(const ll_voice *voice, size_t ear, double start_s)
{
    return (ll_heard_string){voice->motion, voice->map[ear], start_s};
}

double ll_voice_partial_hz(const ll_voice *voice, size_t n)
{
    const ll_mode_pair *pair = &voice->pairs[n - 1];
    const double along = pow(cos(voice->pluck_rad - pair->angle_rad), 2);
    return along * pair->horizontal_hz + (1 - along) * pair->vertical_hz;
}

size_t ll_voice_partials(const ll_voice *voice)
{
    return voice->partials;
}
