/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "signal/voice.h"
#include "string/hearing.h"
#include "string/pull.h"

#include <math.h>
#include <stdlib.h>

struct ll_voice {
    size_t partials;
    ll_mode_pair *pairs; /* [partials] */
    ll_motion *motion;
    ll_linkage_map *map;
};

/* Beyond what the partials reach: a map needs some width even where a string hardly moves. */
static const double least_m = 0.05e-3;

void ll_voice_free(ll_voice *voice)
{
    if (!voice)
        return;
    free(voice->pairs);
    ll_motion_free(voice->motion);
    ll_linkage_map_free(voice->map);
    free(voice);
}

/* The partials with the magnets' pull on them. */
static ll_status detune(const ll_solution *s, const ll_voice_spec *spec,
                        const ll_stiff_string *string, ll_voice *v)
{
    ll_pull *pull = NULL;
    v->partials = ll_stiff_string_partials_below(string, spec->rate_hz / 2);
    if (v->partials == 0)
        return LL_BAD_VALUE;
    v->pairs = malloc(v->partials * sizeof *v->pairs);
    if (!v->pairs)
        return LL_NO_MEMORY;
    ll_status status = ll_pull_new(s, &spec->string, spec->from_bridge_m, &pull);
    if (!status)
        status = ll_mode_pairs(string, 0, pull, v->partials, v->pairs);
    ll_pull_free(pull);
    return status;
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

/* Over as wide a range as the motion needs. */
static ll_status listen(const ll_solution *s, const ll_voice_spec *spec, ll_voice *v)
{
    ll_hearing *hearing = NULL;
    double half_x, half_z;
    ll_status status = ll_hearing_new(s, spec->share, &spec->string, &hearing);
    if (status)
        return status;
    ll_hearing_from_bridge(hearing, spec->from_bridge_m);
    const ll_aperture aperture = ll_hearing_aperture(hearing);
    reach(v->motion, &aperture, &half_x, &half_z);
    status = ll_hearing_map(s, spec->share, &spec->string, &aperture, half_x, half_z, &v->map);
    ll_hearing_free(hearing);
    return status;
}

static ll_status build(const ll_solution *s, const ll_voice_spec *spec, ll_voice *v)
{
    ll_stiff_string string;
    ll_status status = ll_stiff_string_tune(&spec->tuning, &string);
    if (!status)
        status = ll_pluck_check(&spec->pluck, &string);
    if (!status)
        status = detune(s, spec, &string, v);
    if (!status)
        status =
            ll_motion_new(&string, v->partials, v->pairs, &spec->damping, &spec->pluck, &v->motion);
    return status ? status : listen(s, spec, v);
}

ll_status ll_voice_new(const ll_solution *s, const ll_voice_spec *spec, ll_voice **out)
{
    if (!(spec->rate_hz > 0) || !isfinite(spec->from_bridge_m))
        return LL_BAD_VALUE;
    ll_voice *v = calloc(1, sizeof *v);
    if (!v)
        return LL_NO_MEMORY;
    const ll_status status = build(s, spec, v);
    if (status)
        ll_voice_free(v);
    else
        *out = v;
    return status;
}

ll_heard_string ll_voice_heard(const ll_voice *voice, double start_s)
{
    return (ll_heard_string){voice->motion, voice->map, start_s};
}

double ll_voice_partial_hz(const ll_voice *voice, size_t n)
{
    const ll_mode_pair *pair = &voice->pairs[n - 1];
    return (pair->horizontal_hz + pair->vertical_hz) / 2;
}

size_t ll_voice_partials(const ll_voice *voice)
{
    return voice->partials;
}
