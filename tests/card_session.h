/* card_session.h - a bench session with a sound card, made up: sweeps through a known resistor into a network, recorded with noise,
 * hum, a clock that runs off and inputs that are not flat. The network is computed from its elements, not by the model that is
 * fitted. For tests and studies. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_TESTS_CARD_SESSION_H
#define LL_TESTS_CARD_SESSION_H

#include "base/constants.h"
#include "recording/bridge.h"
#include "recording/coil_model.h"
#include "recording/recording.h"
#include "recording/sweep_signal.h"
#include "signal/spectrum.h"

#include <complex.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

/* A coil with a lossy cover: transformer of two windings, then its own capacitance and a cable. */
typedef struct card_coil {
    double r_ohm, l_h, c_f;
    double coupling, cover_corner_hz;  /* of the cover: R2 / (2 pi L2) */
    double pole_share, pole_corner_hz; /* steel: what the flux in a round rod loses */
    double second_coupling, second_corner_hz;
} card_coil;

typedef struct card_session {
    card_coil coil;
    double series_ohm, input_ohm, input_f;
    double known_ohm; /* above 0: stands in the pickup's place */
    bool bridged;     /* the known resistor is bridged by a wire */
    double drift, noise, hum, hum_hz;
    double corner_hz[2],
        ripple_db
            [2]; /* of the two inputs: first-order high-pass, and a ripple over the logarithm of f */
    uint64_t seed;
    int bits;
} card_session;

static inline double card_random(uint64_t *state)
{
    *state = *state * 6364136223846793005ULL + 1442695040888963407ULL;
    return ((double)(*state >> 11) + 0.5) / 9007199254740992.0;
}

static inline double card_normal(uint64_t *state)
{
    const double u = card_random(state), v = card_random(state);
    return sqrt(-2 * log(u)) * cos(2 * LL_PI * v);
}

/* Flux in a round rod along the field against that without currents: 2 I1(z) / (z I0(z)), z = sqrt(j x) (textbook); by its power
 * series, or its continued fraction's limit where that is long. */
static inline double complex card_rod(double x)
{
    const double complex q = I * x / 4, z = csqrt(I * x);
    if (x > 900)
        return 2 / z * (1 - 1 / (2 * z));
    double complex term = 1, top = 0, below = 0;
    for (int k = 0; k < 120; k++) {
        below += term;
        top += term / (k + 1);
        term *= q / ((k + 1.0) * (k + 1));
    }
    return top / below;
}

static inline double complex card_impedance(const card_coil *c, double f_hz)
{
    const double complex jw = 2 * LL_PI * I * f_hz;
    const double k2 = c->coupling * c->coupling;
    const double complex steel =
        c->pole_share > 0 ? c->pole_share * (1 - card_rod(f_hz / c->pole_corner_hz)) : 0;
    const double second = c->second_coupling * c->second_coupling;
    double complex left = 1 - k2 * I * f_hz / (c->cover_corner_hz + I * f_hz) - steel;
    if (second > 0)
        left -= second * I * f_hz / (c->second_corner_hz + I * f_hz);
    const double complex coil = c->r_ohm + jw * c->l_h * left;
    return coil / (1 + jw * c->c_f * coil);
}

typedef struct card_input {
    const card_session *s;
    int channel;
} card_input;

/* From the player's voltage to what a channel records. */
static inline ll_status card_response(void *context, size_t n, const double *f_hz, double *re,
                                      double *im)
{
    const card_input *in = context;
    const card_session *s = in->s;
    for (size_t i = 0; i < n; i++) {
        const double f = fmax(f_hz[i], 1e-3);
        const double complex z = s->known_ohm > 0 ? s->known_ohm : card_impedance(&s->coil, f);
        const double complex y = 1 / z + 1 / s->input_ohm + 2 * LL_PI * I * f * s->input_f;
        const double complex divider = s->bridged || in->channel ? 1 : 1 / (1 + s->series_ohm * y);
        const int c = in->channel;
        const double complex high = I * f / (s->corner_hz[c] + I * f);
        const double db = s->ripple_db[c] / 2 * sin(3 * log(f / 100) + c);
        const double complex h = divider * high * pow(10, db / 20);
        re[i] = creal(h);
        im[i] = cimag(h);
    }
    return LL_OK;
}

static inline double card_round(double v, int bits)
{
    const double steps = ldexp(1, bits - 1);
    return bits ? fmax(-1, fmin(1, round(v * steps) / steps)) : v;
}

/* Noise (root mean square), hum with two harmonics, and a converter of so many bits; 0 bits: none. */
static inline void card_disturb(size_t n, double *v, double rate_hz, double noise, double hum,
                                double hum_hz, int bits, uint64_t seed)
{
    uint64_t state = seed * 2654435761u + 12345;
    const double phase = 2 * LL_PI * card_random(&state);
    for (size_t i = 0; i < n; i++) {
        const double angle = 2 * LL_PI * hum_hz * (double)i / rate_hz + phase;
        v[i] += noise * card_normal(&state);
        v[i] += hum * (sin(angle) + 0.5 * sin(3 * angle) + 0.2 * sin(5 * angle));
        v[i] = card_round(v[i], bits);
    }
}

/* Recording begins 0.37 s before the player does. The caller frees it. */
static inline ll_recording *card_record(const card_session *s, const ll_sweep_signal *signal,
                                        double rate_hz)
{
    const double player_hz = rate_hz * (1 + s->drift);
    const size_t length = ll_sweep_signal_length(signal, player_hz), lead = 17760;
    const size_t frames = lead + length + 24000;
    double *samples = calloc(2 * frames, sizeof *samples);
    ll_recording *recording = NULL;
    if (!samples)
        return NULL;
    for (int c = 0; c < 2; c++) {
        double *v = samples + (size_t)c * frames;
        card_input in = {s, c};
        if (ll_sweep_signal_write(signal, player_hz, v + lead) ||
            ll_filter(frames, v, rate_hz, 48000, &(ll_response){card_response, &in}))
            break;
        card_disturb(frames, v, rate_hz, s->noise, c ? 0 : s->hum, s->hum_hz, s->bits,
                     2 * s->seed + (uint64_t)c);
    }
    ll_recording_new(2, frames, rate_hz, samples, &recording);
    free(samples);
    return recording;
}

/* One channel alone: in the first half of the signal the resistor is bridged, in the middle of its pause the wire is taken off. With a
 * drift that makes whole samples of the times from sweep to sweep no sweep is moved by rounding, as none is where a player runs through. */
static inline ll_recording *card_record_one_channel(const card_session *s,
                                                    const ll_sweep_signal *signal, double rate_hz)
{
    card_session first = *s;
    first.bridged = true;
    ll_recording *before = card_record(&first, signal, rate_hz),
                 *after = card_record(s, signal, rate_hz), *joined = NULL;
    const double pause_s =
        ll_sweep_signal_starts_s(signal, signal->repeats / 2) - signal->pause_s / 2;
    const size_t n = before && after ? ll_recording_frames(before) : 0,
                 half = 17760 + (size_t)(rate_hz * pause_s);
    double *samples = calloc(n + 1, sizeof *samples);
    if (samples && n > half) {
        ll_recording_copy(before, 0, 0, half, samples);
        ll_recording_copy(after, 0, (long)half, n - half, samples + half);
        ll_recording_new(1, n, rate_hz, samples, &joined);
    }
    ll_recording_free(before);
    ll_recording_free(after);
    free(samples);
    return joined;
}

/* The truth's peak, by going through all frequencies. */
static inline ll_coil_peak card_peak(const card_coil *c)
{
    double best = 0, at = 0;
    for (double f = 200; f < 8e4; f *= 1 + 1e-5)
        if (cabs(card_impedance(c, f)) > best) {
            best = cabs(card_impedance(c, f));
            at = f;
        }
    double low = at, high = at;
    while (cabs(card_impedance(c, low)) > best / sqrt(2))
        low *= 1 - 1e-5;
    while (cabs(card_impedance(c, high)) > best / sqrt(2))
        high *= 1 + 1e-5;
    return (ll_coil_peak){at, best, at / (high - low)};
}

#endif
