/* card_files.c - a bench session with a sound card as files: what a technician would have recorded, made up (card_session.h), and
 * truth.csv with what was put in.
 *     card_files FOLDER
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "card_session.h"

#include <stdio.h>
#include <string.h>

enum { RATE = 48000, STRINGS = 6, ROUNDS = 2, LINES = 3 };

static const char *folder;

static FILE *open_file(const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    if (!file)
        exit(1);
    return file;
}

static void put(FILE *file, uint32_t value, int bytes)
{
    for (int i = 0; i < bytes; i++)
        fputc((int)(value >> (8 * i) & 0xff), file);
}

/* WAV with 16 bits after the format's own layout (Microsoft and IBM 1991, from memory). */
static void write_wav(const char *name, const ll_recording *r)
{
    FILE *file = open_file(name);
    const uint32_t channels = (uint32_t)ll_recording_channels(r), rate = RATE;
    const size_t frames = ll_recording_frames(r);
    const uint32_t bytes = (uint32_t)frames * channels * 2;
    double *v = calloc(frames * channels, sizeof *v);
    if (!v)
        exit(1);
    for (uint32_t c = 0; c < channels; c++)
        ll_recording_copy(r, (int)c, 0, frames, v + c * frames);
    fputs("RIFF", file);
    put(file, 36 + bytes, 4);
    fputs("WAVEfmt ", file);
    put(file, 16, 4);
    put(file, 1, 2);
    put(file, channels, 2);
    put(file, rate, 4);
    put(file, rate * channels * 2, 4);
    put(file, channels * 2, 2);
    put(file, 16, 2);
    fputs("data", file);
    put(file, bytes, 4);
    for (size_t i = 0; i < frames; i++)
        for (uint32_t c = 0; c < channels; c++)
            put(file,
                (uint32_t)(int32_t)lround(fmax(-1, fmin(32767. / 32768, v[c * frames + i])) *
                                          32768),
                2);
    free(v);
    if (fclose(file) != 0)
        exit(1);
}

static void write_session(const char *name, card_session s, int seed)
{
    const ll_sweep_signal signal = ll_sweep_signal_usual();
    s.seed = (uint64_t)seed;
    ll_recording *r = card_record(&s, &signal, RATE);
    if (!r)
        exit(1);
    write_wav(name, r);
    ll_recording_free(r);
}

/* On a clock that makes whole samples of seconds. */
static void write_one_channel(const char *name, card_session s, int seed)
{
    const ll_sweep_signal signal = ll_sweep_signal_one_channel();
    s.seed = (uint64_t)seed;
    s.drift = 1. / RATE;
    ll_recording *r = card_record_one_channel(&s, &signal, RATE);
    if (!r)
        exit(1);
    write_wav(name, r);
    ll_recording_free(r);
}

/* One channel of n samples. */
static void write_mono(const char *name, size_t n, const double *v)
{
    ll_recording *r = NULL;
    if (ll_recording_new(1, n, RATE, v, &r))
        exit(1);
    write_wav(name, r);
    ll_recording_free(r);
}

/* ---- coil ---- */

static const card_session bench = {.coil = {.r_ohm = 7350,
                                            .l_h = 2.85,
                                            .c_f = 620e-12, /* its own, and a cable's */
                                            .coupling = 0.35,
                                            .cover_corner_hz = 6000,
                                            .pole_share = 0.2,
                                            .pole_corner_hz = 4000},
                                   .series_ohm = 47e3,
                                   .input_ohm = 950e3,
                                   .input_f = 110e-12,
                                   .drift = 30e-6,
                                   .noise = 1.6e-4, /* -70 dB of the sweep's peak */
                                   .hum = 2e-3,
                                   .hum_hz = 50.02,
                                   .corner_hz = {8, 5},
                                   .ripple_db = {2, 1},
                                   .bits = 16};

static void coil_files(FILE *truth)
{
    card_session s = bench;
    const ll_coil_peak peak = card_peak(&s.coil);
    fprintf(truth, "r,%.17g\nl,%.17g\nc,%.17g\npeak,%.17g\nq,%.17g\npeak_ohm,%.17g\n", s.coil.r_ohm,
            s.coil.l_h, s.coil.c_f, peak.f_hz, peak.q, peak.ohm);
    write_session("coil.wav", s, 1);
    s.bridged = true;
    write_session("shorted.wav", s, 2);
    s.bridged = false;
    write_one_channel("one.wav", s, 5);
    s.known_ohm = 100e3;
    write_session("known.wav", s, 3);
    write_one_channel("one_known.wav", s, 6);
    s.known_ohm = 0;
    s.coil.c_f += 300e-12; /* more cable */
    write_session("longer.wav", s, 4);
    fprintf(truth, "longer_peak,%.17g\n", card_peak(&s.coil).f_hz);
}

/* ---- strings ---- */

static const double open_hz[STRINGS] = {82.41, 110, 146.83, 196, 246.94, 329.63};
static const double beat_hz[STRINGS] = {0, 0.71, 0, 1.3, 0, 0.9};

/* What a pickup gives of strings and mains: as it came in, and mended. */
typedef struct take {
    const char *file, *mark;
    double level[STRINGS], hum_size[LINES];
} take;

static const take came = {
    "strings.wav", "", {0.3, 0.22, 0.26, 0.12, 0.2, 0.15}, {1e-3, 5e-4, 2e-4}};
static const take mended = {
    "strings_mended.wav", "mended_", {0.3, 0.22, 0.26, 0.2, 0.2, 0.25}, {4e-4, 2.5e-4, 1e-4}};

/* Adds a decaying sine; decays per second. */
static void ring(size_t from, size_t till, double *v, double hz, double amplitude, double decay)
{
    for (size_t i = from; i < till; i++) {
        const double t = (double)(i - from) / RATE;
        v[i] += amplitude * exp(-decay * t) * sin(2 * LL_PI * hz * t + hz);
    }
}

static void disturb(const take *from, size_t n, double *v, uint64_t seed)
{
    for (size_t i = 0; i < n; i++) {
        for (int k = 0; k < LINES; k++)
            v[i] += from->hum_size[k] * sin(2 * LL_PI * 50.01 * (2 * k + 1) * (double)i / RATE);
        v[i] += 3e-5 * card_normal(&seed);
    }
}

/* Partials 1 and 2 of each string, the first in two directions of motion where it beats; dies within its time. */
static void pluck(double level, double *v, size_t from, size_t till, int s)
{
    const double hz = open_hz[s];
    ring(from, till, v, hz, level, 0.8);
    if (beat_hz[s] > 0)
        ring(from, till, v, hz + beat_hz[s], 0.4 * level, 1.1);
    ring(from, till, v, 2.0004 * hz, 0.5 * level, 1.4);
}

/* Root mean square from 0.1 to 1.1 s after the start, as the sum of what the partials hold. */
static double level_after(size_t frames, const double *v, size_t from)
{
    double sum = 0;
    for (size_t i = from + RATE / 10; i < from + RATE / 10 + RATE && i < frames; i++)
        sum += v[i] * v[i];
    return sqrt(sum / RATE);
}

static void string_file(const take *from, uint64_t seed, FILE *truth)
{
    enum { LEAD = 3 * RATE, EACH = 4 * RATE, FRAMES = LEAD + STRINGS * EACH };
    double *v = calloc(FRAMES, sizeof *v), loudest = 0, after[STRINGS];
    if (!v)
        exit(1);
    for (int s = 0; s < STRINGS; s++)
        pluck(from->level[s], v, LEAD + (size_t)s * EACH, LEAD + (size_t)(s + 1) * EACH - RATE / 50,
              s);
    for (int s = 0; s < STRINGS; s++) {
        after[s] = level_after(FRAMES, v, LEAD + (size_t)s * EACH);
        loudest = fmax(loudest, after[s]);
    }
    for (int s = 0; s < STRINGS; s++)
        fprintf(truth, "%slevel_%d,%.17g\n", from->mark, s + 1, 20 * log10(after[s] / loudest));
    for (int k = 0; k < LINES; k++)
        fprintf(truth, "%shum_%d,%.17g\n", from->mark, 2 * k + 1,
                20 * log10(from->hum_size[k] / sqrt(2)));
    disturb(from, FRAMES, v, seed);
    write_mono(from->file, FRAMES, v);
    free(v);
}

static void knock_files(FILE *truth)
{
    enum { FRAMES = 8 * RATE };
    double *v = calloc(FRAMES, sizeof *v);
    if (!v)
        exit(1);
    for (int k = 0; k < 3; k++)
        ring((size_t)(2 + 2 * k) * RATE, (size_t)(2 + 2 * k) * RATE + RATE / 2, v, 900, 0.05, 40);
    fprintf(truth, "knock,%.17g\n", 20 * log10(0.05));
    disturb(&came, FRAMES, v, 78);
    write_mono("knocks.wav", FRAMES, v);
    free(v);
}

int main(int argc, char **argv)
{
    if (argc != 2)
        return 2;
    folder = argv[1];
    FILE *truth = open_file("truth.csv");
    fputs("what,value\n", truth);
    coil_files(truth);
    for (int s = 0; s < STRINGS; s++)
        fprintf(truth, "beat_%d,%.17g\npitch_%d,%.17g\n", s + 1, beat_hz[s], s + 1, open_hz[s]);
    string_file(&came, 77, truth);
    string_file(&mended, 79, truth);
    knock_files(truth);
    return fclose(truth) == 0 ? 0 : 1;
}
