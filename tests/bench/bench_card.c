/* bench_card.c - how near an impedance measured with a sound card comes to the truth, and how often the stated bands hold it.
 * It prints, and judges nothing.
 *     bench_card TRIALS            made-up sessions (card_session.h)
 *     bench_card FOLDER TRIALS     circuits that ngspice stepped through time (card/study.sh), recorded TRIALS times each
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "card_session.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

enum { POINTS = 120, VALUES = 6, RATE = 48000 };
static const char *const names[VALUES] = {"R", "L", "C", "peak", "Q", "ohm at peak"};

/* What was measured, off the truth and with its told deviation, both relative. */
typedef struct tally {
    int trials, within[VALUES];
    double worst[VALUES], sum_sd[VALUES];
    double seconds, pull;
} tally;

/* The three runs of a session as recordings. */
typedef struct runs {
    ll_recording *pickup, *bridged, *known;
    double series_ohm, known_ohm;
    ll_sweep_signal signal;
} runs;

static void runs_free(runs *r)
{
    ll_recording_free(r->pickup);
    ll_recording_free(r->bridged);
    ll_recording_free(r->known);
}

static void frequencies(double *f)
{
    for (int i = 0; i < POINTS; i++)
        f[i] = 20 * pow(1000, (double)i / (POINTS - 1));
}

static ll_status measure(const runs *r, const double *f, ll_impedance_point *z,
                         ll_coil_found *found)
{
    ll_transfer_point ratio[POINTS], alike[POINTS], known[POINTS];
    ll_bridge_input in = {0};
    ll_status status = ll_transfer(r->pickup, 0, 1, &r->signal, POINTS, f, ratio, NULL);
    if (!status)
        status = ll_transfer(r->bridged, 0, 1, &r->signal, POINTS, f, alike, NULL);
    if (!status)
        status = ll_transfer(r->known, 0, 1, &r->signal, POINTS, f, known, NULL);
    if (!status)
        status = ll_bridge_input_of(r->series_ohm, r->known_ohm, POINTS, known, alike, &in);
    const ll_bridge bridge = {r->series_ohm, in.conductance_s, in.capacitance_f};
    if (!status)
        status = ll_bridge_impedance(&bridge, POINTS, ratio, alike, z);
    return status ? status : ll_coil_find(POINTS, z, found);
}

static void judge(const runs *r, const card_coil *coil, const ll_coil_peak *peak, tally *t)
{
    double f[POINTS], pull = 0;
    ll_impedance_point z[POINTS];
    ll_coil_found c = {0};
    frequencies(f);
    const clock_t began = clock();
    const ll_status status = measure(r, f, z, &c);
    t->seconds += (double)(clock() - began) / CLOCKS_PER_SEC;
    t->trials++;
    if (status) {
        printf("  %s\n", ll_status_text(status));
        return;
    }
    for (int i = 0; i < POINTS; i++)
        pull +=
            pow(cabs(z[i].re_ohm + I * z[i].im_ohm - card_impedance(coil, f[i])) / z[i].sd_ohm, 2) /
            2 / POINTS;
    t->pull += pull;
    const double truth[VALUES] = {coil->r_ohm, coil->l_h, coil->c_f,
                                  peak->f_hz,  peak->q,   peak->ohm};
    const double told[VALUES] = {c.model.r_ohm, c.model.l_h, c.model.c_f,
                                 c.peak.f_hz,   c.peak.q,    c.peak.ohm};
    const double sd[VALUES] = {c.relative_sd[0], c.relative_sd[1], c.relative_sd[2],
                               c.peak_sd.f_hz,   c.peak_sd.q,      c.peak_sd.ohm};
    for (int k = 0; k < VALUES; k++) {
        const double off = fabs(told[k] / truth[k] - 1);
        t->worst[k] = fmax(t->worst[k], off);
        t->within[k] += off < 1.96 * sd[k];
        t->sum_sd[k] += sd[k];
    }
}

static void print(const tally *t)
{
    printf("%d trials, %.1f s of processor time each; points off by %.2f of their deviations (root "
           "mean square)\n",
           t->trials, t->seconds / t->trials, sqrt(t->pull / t->trials));
    for (int k = 0; k < VALUES; k++)
        printf("  %-12s worst %.3f %%, told deviation %.3f %% on average, in the band of 95 %%: "
               "%.1f %%\n",
               names[k], 100 * t->worst[k], 100 * t->sum_sd[k] / t->trials,
               100.0 * t->within[k] / t->trials);
}

/* ---- made up ---- */

static double between(uint64_t *state, double low, double high)
{
    return low * pow(high / low, card_random(state));
}

static card_session random_session(uint64_t seed)
{
    uint64_t state = seed * 7919 + 17;
    return (card_session){.coil = {.r_ohm = between(&state, 4e3, 15e3),
                                   .l_h = between(&state, 1.5, 8),
                                   .c_f = between(&state, 80e-12, 700e-12),
                                   .coupling = 0.6 * card_random(&state),
                                   .cover_corner_hz = between(&state, 1e3, 2e4),
                                   .pole_share = 0.6 * card_random(&state),
                                   .pole_corner_hz = between(&state, 1e3, 3e4)},
                          .series_ohm = 47e3,
                          .input_ohm = between(&state, 2e5, 2e6),
                          .input_f = between(&state, 30e-12, 300e-12),
                          .drift = 30e-6,
                          .noise = 1.6e-4, /* -70 dB of the sweep's peak */
                          .hum = 2e-3,
                          .hum_hz = 50.02,
                          .corner_hz = {8, 5},
                          .ripple_db = {2, 1},
                          .seed = seed,
                          .bits = 16};
}

static void made_up(int trials)
{
    tally t = {0};
    for (int i = 0; i < trials; i++) {
        const card_session s = random_session((uint64_t)i + 1);
        card_session bridged = s, known = s;
        bridged.bridged = true;
        bridged.seed += 100000;
        known.known_ohm = 100e3;
        known.seed += 200000;
        runs r = {
            .series_ohm = s.series_ohm, .known_ohm = 100e3, .signal = ll_sweep_signal_usual()};
        r.pickup = card_record(&s, &r.signal, RATE);
        r.bridged = card_record(&bridged, &r.signal, RATE);
        r.known = card_record(&known, &r.signal, RATE);
        const ll_coil_peak peak = card_peak(&s.coil);
        if (r.pickup && r.bridged && r.known)
            judge(&r, &s.coil, &peak, &t);
        runs_free(&r);
    }
    print(&t);
}

/* ---- from ngspice ---- */

enum { LEAD = 24000, REPEATS = 3 };
static const ll_sweep_signal stepped = {.from_hz = 15,
                                        .to_hz = 21e3,
                                        .sweep_s = 3,
                                        .rest_s = 0.5,
                                        .tone_hz = 440,
                                        .tone_s = 0.5,
                                        .peak = 0.5,
                                        .repeats = REPEATS};

/* One sweep, hot and gen, as ngspice wrote it. */
typedef struct stepping {
    size_t n;
    double *v[2];
} stepping;

static stepping read_stepping(const char *folder, const char *name)
{
    char path[512], line[256];
    stepping s = {0};
    snprintf(path, sizeof path, "%s/%s.txt", folder, name);
    FILE *file = fopen(path, "r");
    size_t room = 0;
    while (file && fgets(line, sizeof line, file)) {
        double time, hot, gen;
        if (sscanf(line, "%lf %lf %lf", &time, &hot, &gen) != 3)
            continue;
        if (s.n == room) {
            room = 2 * room + 4096;
            s.v[0] = realloc(s.v[0], room * sizeof(double));
            s.v[1] = realloc(s.v[1], room * sizeof(double));
        }
        s.v[0][s.n] = hot;
        s.v[1][s.n++] = gen;
    }
    if (file)
        fclose(file);
    return s;
}

/* Repeats of a stepped sweep through inputs that are not flat, with noise, hum and 16 bits. The stepped sweep begins 50 ms in. */
static ll_recording *record(const stepping *s, bool bridged, uint64_t seed)
{
    const card_session inputs = {.bridged = true,
                                 .corner_hz = {8, 5},
                                 .ripple_db = {2, 1},
                                 .input_ohm = 1e6,
                                 .series_ohm = 1,
                                 .coil = {1, 1, 0, 0, 1, 0, 1}};
    const size_t period = (size_t)lround((stepped.sweep_s + stepped.rest_s) * RATE);
    const size_t frames = LEAD + REPEATS * period + LEAD;
    double *samples = calloc(2 * frames, sizeof *samples);
    ll_recording *recording = NULL;
    for (int c = 0; c < 2 && samples; c++) {
        double *v = samples + (size_t)c * frames;
        card_input in = {&inputs, c};
        const double *from = s->v[bridged ? 1 : c];
        for (int k = 0; k < REPEATS; k++)
            for (size_t i = 0; i < s->n && i < period; i++)
                v[LEAD + (size_t)k * period + i] += from[i];
        if (ll_filter(frames, v, RATE, RATE, &(ll_response){card_response, &in}))
            break;
        card_disturb(frames, v, RATE, 1.6e-4, c ? 0 : 2e-3, 50.02, 16, seed * 2 + (uint64_t)c);
    }
    if (samples)
        ll_recording_new(2, frames, RATE, samples, &recording);
    free(samples);
    return recording;
}

static void from_stepping(const char *folder, int trials)
{
    char path[512], name[16];
    tally t = {0};
    double number, cover, core;
    card_coil c = {0};
    snprintf(path, sizeof path, "%s/networks", folder);
    FILE *file = fopen(path, "r");
    while (file && fscanf(file, "%lf %lf %lf %lf %lf %lf %lf %lf", &number, &c.r_ohm, &c.l_h,
                          &c.c_f, &cover, &c.cover_corner_hz, &core, &c.second_corner_hz) == 8) {
        c.coupling = cover;
        c.second_coupling = core;
        snprintf(name, sizeof name, "%.0f", number);
        const stepping pickup = read_stepping(folder, name);
        strcat(name, ".known");
        const stepping known = read_stepping(folder, name);
        const ll_coil_peak peak = card_peak(&c);
        for (int i = 0; i < trials && pickup.n && known.n; i++) {
            const uint64_t seed = (uint64_t)number * 1000 + (uint64_t)i;
            runs r = {record(&pickup, false, 3 * seed),
                      record(&pickup, true, 3 * seed + 1),
                      record(&known, false, 3 * seed + 2),
                      47e3,
                      100e3,
                      stepped};
            if (r.pickup && r.bridged && r.known)
                judge(&r, &c, &peak, &t);
            runs_free(&r);
        }
        for (int k = 0; k < 2; k++) {
            free(pickup.v[k]);
            free(known.v[k]);
        }
        print(&t);
        fflush(stdout);
    }
    if (file)
        fclose(file);
}

int main(int argc, char **argv)
{
    if (argc == 3)
        from_stepping(argv[1], atoi(argv[2]));
    else
        made_up(argc > 1 ? atoi(argv[1]) : 20);
    return 0;
}
