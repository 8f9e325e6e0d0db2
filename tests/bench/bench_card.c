/* bench_card.c - how near an impedance measured with a sound card comes, over made-up sessions: bench_card [trials].
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "card_session.h"

#include <stdio.h>
#include <time.h>

enum { POINTS = 120 };

static double between(uint64_t *state, double low, double high)
{
    return low * pow(high / low, card_random(state));
}

int main(int argc, char **argv)
{
    const int trials = argc > 1 ? atoi(argv[1]) : 20;
    const ll_sweep_signal signal = ll_sweep_signal_usual();
    double f[POINTS];
    int within[6] = {0}, done = 0;
    double worst[6] = {0};
    for (int i = 0; i < POINTS; i++)
        f[i] = 20 * pow(1000, (double)i / (POINTS - 1));
    for (int t = 0; t < trials; t++) {
        uint64_t state = (uint64_t)t * 7919 + 17;
        card_session s = {.coil = {between(&state, 4e3, 15e3), between(&state, 1.5, 8),
                                   between(&state, 80e-12, 700e-12),
                                   0.2 + 0.4 * card_random(&state), between(&state, 1e3, 2e4), 0,
                                   5e3},
                          .series_ohm = 47e3,
                          .input_ohm = between(&state, 2e5, 2e6),
                          .input_f = between(&state, 30e-12, 300e-12),
                          .drift = 30e-6,
                          .noise = 3e-4 * 0.5,
                          .hum = 2e-3,
                          .hum_hz = 50.02,
                          .corner_hz = {8, 5},
                          .ripple_db = {2, 1},
                          .seed = (uint64_t)t + 1,
                          .bits = 16};
        if (argc > 2)
            s.coil.pole_share = atof(argv[2]);
        card_session bridged = s, known = s;
        bridged.bridged = true;
        bridged.seed += 1000;
        known.known_ohm = 100e3;
        known.seed += 2000;
        ll_recording *r[3] = {card_record(&s, &signal, 48000),
                              card_record(&bridged, &signal, 48000),
                              card_record(&known, &signal, 48000)};
        ll_transfer_point ratio[3][POINTS];
        ll_transfer_facts facts;
        const clock_t began = clock();
        for (int k = 0; k < 3; k++) {
            ll_status st = ll_transfer(r[k], 0, 1, &signal, POINTS, f, ratio[k], &facts);
            if (st) {
                printf("transfer %d: %s\n", k, ll_status_text(st));
                return 1;
            }
            ll_recording_free(r[k]);
        }
        const double took = (double)(clock() - began) / CLOCKS_PER_SEC;
        ll_bridge_input in;
        ll_impedance_point z[POINTS];
        ll_coil_found c = {0};
        ll_bridge_input_of(s.series_ohm, s.known_ohm > 0 ? s.known_ohm : 100e3, POINTS, ratio[2],
                           ratio[1], &in);
        const ll_bridge b = {s.series_ohm, in.conductance_s, in.capacitance_f};
        ll_bridge_impedance(&b, POINTS, ratio[0], ratio[1], z);
        const ll_status st = ll_coil_find(POINTS, z, &c);
        if (st) {
            printf("find: %s\n", ll_status_text(st));
            continue;
        }
        double pull = 0;
        for (int i = 0; i < POINTS; i++) {
            const double complex truth = card_impedance(&s.coil, f[i]);
            pull += pow(cabs(z[i].re_ohm + I * z[i].im_ohm - truth) / z[i].sd_ohm, 2) / 2 / POINTS;
        }
        /* truth of the peak by brute force */
        double best = 0, at = 0, ohm = 0;
        for (double x = log(200); x < log(6e4); x += 1e-5) {
            const double a = cabs(card_impedance(&s.coil, exp(x)));
            if (a > best) {
                best = a;
                at = exp(x);
            }
        }
        ohm = best;
        double lo = at, hi = at;
        while (cabs(card_impedance(&s.coil, lo)) > ohm / sqrt(2))
            lo *= 0.99999;
        while (cabs(card_impedance(&s.coil, hi)) > ohm / sqrt(2))
            hi *= 1.00001;
        const double truth[6] = {s.coil.r_ohm, s.coil.l_h, s.coil.c_f, at, at / (hi - lo), ohm};
        const double found[6] = {c.model.r_ohm, c.model.l_h, c.model.c_f,
                                 c.peak.f_hz,   c.peak.q,    c.peak.ohm};
        const double sd[6] = {c.relative_sd[0], c.relative_sd[1], c.relative_sd[2],
                              c.peak_sd.f_hz,   c.peak_sd.q,      c.peak_sd.ohm};
        done++;
        printf("%2d loops %d misfit %.2f rest %.4f pull %.2f drift %.1f ppm %.1f s in %.3g/%.3g:",
               t, c.model.loops, c.misfit, c.rest, sqrt(pull), facts.drift * 1e6, took,
               in.conductance_s * s.input_ohm, in.capacitance_f / s.input_f);
        for (int k = 0; k < 6; k++) {
            const double off = found[k] / truth[k] - 1;
            worst[k] = fmax(worst[k], fabs(off));
            within[k] += fabs(off) < 1.96 * sd[k];
            printf("  %+.3f(%.3f)", 100 * off, 100 * sd[k]);
        }
        printf("\n");
        fflush(stdout);
    }
    printf("within 95 %%: ");
    for (int k = 0; k < 6; k++)
        printf(" %.1f %%", 100.0 * within[k] / done);
    printf("\nworst %%: ");
    for (int k = 0; k < 6; k++)
        printf(" %.3f", 100 * worst[k]);
    printf("\n");
    return 0;
}
