/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "signal/synthesis.h"
#include "base/constants.h"
#include "base/vectorised.h"

#include <complex.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* -140 dB: below the last bit of a 24 bit file. */
static const double silent = 1e-7;

/* A mode along one direction. Lane j of the state is the displacement j samples on, as a complex number whose real part
 * is what moves. */
typedef struct ll_voice {
    double re[LL_LANES], im[LL_LANES];
    double turn_re, turn_im; /* over LL_LANES samples */
    double decay, omega;
} ll_voice;

struct ll_synthesis {
    double faintest;      /* squared velocity of what is kept, m2/s2 */
    size_t across, total; /* voices across come first, those up after them */
    ll_voice voices[];
};

/* Amplitude of the velocity, squared. */
static double speed_squared(const ll_voice *v)
{
    return v->omega * v->omega * (v->re[0] * v->re[0] + v->im[0] * v->im[0]);
}

static ll_voice voice(const ll_mode *m, double amplitude_m, double rate_hz, double first_s)
{
    ll_voice v = {.decay = m->decay_per_s, .omega = 2 * LL_PI * m->frequency_hz};
    /* Exact in every lane; only the turns that follow add up rounding. */
    const double complex rate = -v.decay + I * v.omega;
    const double complex turn = cexp(rate * (LL_LANES / rate_hz));
    v.turn_re = creal(turn);
    v.turn_im = cimag(turn);
    for (size_t j = 0; j < LL_LANES; j++) {
        const double complex state = amplitude_m * cexp(rate * (first_s + (double)j / rate_hz));
        v.re[j] = creal(state);
        v.im[j] = cimag(state);
    }
    return v;
}

/* Keeps the voices of from to end that can be heard, moved up to keep; returns the end of them. */
static size_t keep_loud(ll_synthesis *s, size_t from, size_t end, size_t keep)
{
    for (size_t i = from; i < end; i++)
        if (speed_squared(&s->voices[i]) > s->faintest)
            s->voices[keep++] = s->voices[i];
    return keep;
}

/* Voices of all modes below half the rate; up chooses the direction. */
static void add_voices(ll_synthesis *s, const ll_motion *motion, const ll_linkage_map *map,
                       double rate_hz, double first_s, int up)
{
    for (size_t i = 0; i < motion->count; i++) {
        const ll_mode *m = &motion->modes[i];
        if (m->frequency_hz >= rate_hz / 2)
            continue;
        const double amplitude =
            (up ? m->z_m : m->x_m) * ll_linkage_map_comb(map, motion->length_m, m->number);
        s->voices[s->total++] = voice(m, amplitude, rate_hz, first_s);
    }
}

ll_status ll_synthesis_new(const ll_motion *motion, const ll_linkage_map *map, double rate_hz,
                           double first_s, ll_synthesis **out)
{
    ll_synthesis *s = malloc(sizeof *s + 2 * motion->count * sizeof s->voices[0]);
    if (!s)
        return LL_NO_MEMORY;
    s->total = 0;
    add_voices(s, motion, map, rate_hz, first_s, 0);
    s->across = s->total;
    add_voices(s, motion, map, rate_hz, first_s, 1);
    s->faintest = 0;
    for (size_t i = 0; i < s->total; i++)
        s->faintest = fmax(s->faintest, silent * silent * speed_squared(&s->voices[i]));
    *out = s;
    return LL_OK;
}

void ll_synthesis_free(ll_synthesis *synthesis)
{
    free(synthesis);
}

/* Adds one voice to a block and turns it past the block's end. */
static LL_VECTORISED(sound,
                     (ll_voice * v, double *restrict displacement, double *restrict velocity),
                     (v, displacement, velocity))
{
    double re[LL_LANES], im[LL_LANES];
    memcpy(re, v->re, sizeof re);
    memcpy(im, v->im, sizeof im);
    const double turn_re = v->turn_re, turn_im = v->turn_im, decay = v->decay, omega = v->omega;
    for (size_t t = 0; t < LL_BLOCK; t += LL_LANES)
        for (size_t j = 0; j < LL_LANES; j++) {
            /* Real parts of the state and of (-decay + i omega) times it. */
            displacement[t + j] += re[j];
            velocity[t + j] -= decay * re[j] + omega * im[j];
            const double next = re[j] * turn_re - im[j] * turn_im;
            im[j] = re[j] * turn_im + im[j] * turn_re;
            re[j] = next;
        }
    memcpy(v->re, re, sizeof re);
    memcpy(v->im, im, sizeof im);
}

void ll_synthesis_next(ll_synthesis *s, ll_block *block)
{
    memset(block, 0, sizeof *block);
    /* High partials die first: after a second or two a handful of voices is left. */
    const size_t across = keep_loud(s, 0, s->across, 0);
    s->total = keep_loud(s, s->across, s->total, across);
    s->across = across;
    for (size_t i = 0; i < s->across; i++)
        sound(&s->voices[i], block->x_m, block->x_m_s);
    for (size_t i = s->across; i < s->total; i++)
        sound(&s->voices[i], block->z_m, block->z_m_s);
}
