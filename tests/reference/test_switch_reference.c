/* test_switch_reference.c - ten positions of an instrument's switch against ngspice 39, decks/c8_switch.cir.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "circuit/network.h"

enum { POSITIONS = 10, FREQUENCIES = 6 };

static const ll_coil_row neck_1 = {0, 3900, 2.1}, neck_2 = {0, 4000, 2.2},
                         bridge_1 = {0, 4300, 2.6}, bridge_2 = {0, 4200, 2.5},
                         middle = {0, 6200, 2.3};
/* Coupling of the neck's coils and of the bridge's, as they are wound. */
static const double neck_k = 0.25, bridge_k = -0.2;

static ll_network_coil coil(const ll_coil_row *row, double c_f, size_t group)
{
    return (ll_network_coil){.row_count = 1, .rows = row, .c_f = c_f, .tap = 1, .group = group};
}

/* A position while it is put together: coils with their EMF, groups, and what lies behind the switch. */
typedef struct position {
    ll_network_coil coils[LL_NETWORK_COILS];
    double emf_v[LL_NETWORK_COILS];
    ll_network_group groups[LL_NETWORK_GROUPS];
    ll_network_spec spec;
} position;

static ll_network_coil *add(position *p, const ll_coil_row *row, double c_f, double emf_v,
                            size_t group)
{
    const size_t i = p->spec.coil_count++;
    p->coils[i] = coil(row, c_f, group);
    p->emf_v[i] = emf_v;
    return &p->coils[i];
}

static void add_middle(position *p)
{
    add(p, &middle, 100e-12, 0.9, 0);
}

static ll_network_group *add_group(position *p, ll_wiring wiring, double coupling)
{
    ll_network_group *group = &p->groups[p->spec.group_count++];
    *group = (ll_network_group){.wiring = wiring, .coupling = coupling};
    return group;
}

static ll_network_group *add_neck(position *p, ll_wiring wiring)
{
    ll_network_group *group = add_group(p, wiring, neck_k);
    add(p, &neck_1, 60e-12, 1, p->spec.group_count);
    add(p, &neck_2, 62e-12, 0.7, p->spec.group_count);
    return group;
}

static ll_network_group *add_bridge(position *p)
{
    ll_network_group *group = add_group(p, LL_SERIES, bridge_k);
    add(p, &bridge_1, 65e-12, 1.2, p->spec.group_count);
    add(p, &bridge_2, 64e-12, 1.1, p->spec.group_count);
    return group;
}

static ll_network_spec jack(void)
{
    return (ll_network_spec){.volume = {500e3, 1, LL_AUDIO_TAPER},
                             .tone = {500e3, 1, LL_AUDIO_TAPER},
                             .tone_cap_f = 22e-9,
                             .cable_f = 600e-12,
                             .input_ohm = 1e6};
}

static void own_pots(position *p)
{
    p->spec.volume.r_ohm = p->spec.tone.r_ohm = p->spec.tone_cap_f = 0;
    add_neck(p, LL_SERIES)->controls = (ll_controls){.volume = {500e3, 0.7, LL_LINEAR_TAPER},
                                                     .tone = {50e3, 1, LL_LINEAR_TAPER},
                                                     .tone_cap_f = 33e-9};
    add_bridge(p)->controls = (ll_controls){.volume = {500e3, 1, LL_LINEAR_TAPER}};
}

static void neck_split_and_middle(position *p)
{
    p->spec.wiring = LL_PARALLEL;
    add_neck(p, LL_SERIES);
    p->coils[1].bypassed = true;
    add_middle(p);
}

static void neck_and_turned_bridge(position *p)
{
    p->spec.wiring = LL_PARALLEL;
    add_neck(p, LL_SERIES);
    add_bridge(p);
    p->coils[2].reversed = p->coils[3].reversed = true;
}

/* Position i of the deck, from 0; the networks keep the rows, which live on. */
static void wire_up(size_t i, position *p)
{
    *p = (position){.spec = jack()};
    p->spec.wiring = i == 1 || i == 7 || i == 8 ? LL_PARALLEL : LL_SERIES;
    switch (i) {
    case 0:
        add_bridge(p);
        break;
    case 1:
        add_bridge(p);
        add_middle(p);
        break;
    case 2:
        add_middle(p);
        break;
    case 3:
        neck_split_and_middle(p);
        break;
    case 4:
        add_neck(p, LL_PARALLEL);
        break;
    case 5:
        add_neck(p, LL_SERIES);
        add_bridge(p);
        break;
    case 6:
        neck_and_turned_bridge(p);
        break;
    case 7:
        own_pots(p);
        break;
    case 8:
        add_neck(p, LL_SERIES);
        add_middle(p);
        p->coils[2].tap = 0.6;
        break;
    default:
        add_middle(p);
        add(p, &neck_1, 60e-12, 1, 0);
    }
    p->spec.coils = p->coils;
    p->spec.groups = p->groups;
}

static const double f_hz[FREQUENCIES] = {1, 100, 1000, 3000, 5000, 10000};

/* Level in dB and phase in degrees at each frequency; the peak in Hz, from a scan of 0.2 Hz, and in dB. */
static const struct expected {
    double at[FREQUENCIES][2], peak_hz, peak_db;
} deck[POSITIONS] = {
    {{{7.015183, -0.0715258},
      {6.889125, -1.01866},
      {7.645463, -9.79032},
      {13.22456, -75.5605},
      {2.582778, -151.709},
      {-12.1108, -169.966}},
     2994.0,
     13.224790},
    {{{3.373296, -0.0394876},
      {3.285265, -1.25278},
      {3.215052, -4.82566},
      {6.534198, -16.9868},
      {12.90506, -98.4294},
      {-7.39944, -169.12}},
     4779.2,
     13.283280},
    {{{-1.07571, -0.0519555},
      {-1.16992, -0.64825},
      {-0.66977, -5.88636},
      {4.321738, -33.0752},
      {1.606799, -138.293},
      {-15.5914, -169.414}},
     3871.4,
     7.193578},
    {{{-0.404404, -0.0437086},
      {-0.553379, -2.34487},
      {-1.06849, -4.22412},
      {1.348304, -11.1742},
      {8.78211, -46.6574},
      {-8.20822, -168.361}},
     5548.8,
     10.620180},
    {{{-1.4437, -0.0169553},
      {-1.46993, -0.275702},
      {-1.12751, -2.95504},
      {1.951847, -12.9689},
      {10.29841, -78.3429},
      {-10.5042, -169.705}},
     5048.2,
     10.320320},
    {{{11.62279, -0.136418},
      {11.38797, -2.15044},
      {12.72792, -22.9982},
      {8.70631, -132.445},
      {-1.99411, -158.902},
      {-15.2959, -170.643}},
     1862.2,
     14.784380},
    {{{-12.9921, -179.718},
      {-10.9406, -157.99},
      {-4.77355, -176.193},
      {0.3990299, 153.3925},
      {-1.3646, 44.21062},
      {-18.9224, 11.05168}},
     3963.8,
     3.928237},
    {{{6.717085, -0.0148802},
      {6.711482, -1.38988},
      {7.329608, -15.2755},
      {8.526729, -75.5505},
      {1.840957, -131.146},
      {-11.273, -160.879}},
     2556.4,
     8.832293},
    {{{-0.872078, -0.0671367},
      {-1.10012, -4.46943},
      {-2.81639, -6.90049},
      {-1.08135, -9.69383},
      {4.566739, -26.9845},
      {-7.26296, -168.221}},
     6199.8,
     9.911604},
    {{{5.315012, -0.0841522},
      {5.164576, -1.12808},
      {5.969975, -10.8124},
      {10.91298, -84.9266},
      {-0.299521, -152.599},
      {-15.3266, -169.076}},
     2850.4,
     11.057030},
};

static void check_response(const ll_network *network, const double *emf_v,
                           const struct expected *expected)
{
    for (size_t k = 0; k < FREQUENCIES; k++) {
        double complex v = 0;
        assert_ok(ll_network_response_to(network, emf_v, f_hz[k], &v));
        assert_close(20 * log10(cabs(v)), expected->at[k][0], 2e-4);
        assert_close(carg(v) * 180 / LL_PI, expected->at[k][1], 2e-3);
    }
    ll_peak peak = {0};
    assert_ok(ll_network_peak_to(network, emf_v, &peak));
    assert_close(peak.f_hz, expected->peak_hz, 0.5);
    assert_close(20 * log10(peak.gain), expected->peak_db, 1e-4);
}

/* ngspice prints six digits or more. */
static void every_position_answers_as_ngspice_says(void **state)
{
    (void)state;
    for (size_t i = 0; i < POSITIONS; i++) {
        position p;
        ll_network *network = NULL;
        wire_up(i, &p);
        assert_ok(ll_network_new(&p.spec, &network));
        check_response(network, p.emf_v, &deck[i]);
        ll_network_free(network);
    }
}

/* By hand: resistances in series and parallel, under the volume pot of 500 kohm; the amplifier does not count. */
static void an_ohm_meter_at_the_jack_shows_the_wiring(void **state)
{
    (void)state;
    const double pot = 500e3, bridge = 8500, neck = 7900, mid = 6200;
    const double coils[] = {bridge,
                            1 / (1 / bridge + 1 / mid),
                            mid,
                            1 / (1 / 3900.0 + 1 / mid),
                            1 / (1 / 3900.0 + 1 / 4000.0),
                            neck + bridge};
    for (size_t i = 0; i < sizeof coils / sizeof *coils; i++) {
        position p;
        ll_network *network = NULL;
        double ohm = 0;
        wire_up(i, &p);
        assert_ok(ll_network_new(&p.spec, &network));
        assert_ok(ll_network_resistance(network, &ohm));
        assert_relative(ohm, 1 / (1 / coils[i] + 1 / pot), 1e-3);
        ll_network_free(network);
    }
}

/* One wrong value each: a coil in a group that is not there, a group in a later one, one without coils, all bypassed. */
static void groups_that_cannot_be_are_refused(void **state)
{
    (void)state;
    for (int i = 0; i < 4; i++) {
        position p;
        ll_network *network = NULL;
        wire_up(5, &p);
        p.coils[0].group = i == 0 ? 3 : 1;
        p.groups[0].within = i == 1 ? 2 : 0;
        p.spec.group_count += i == 2;
        for (int c = 0; c < 4 && i == 3; c++)
            p.coils[c].bypassed = true;
        assert_int_equal(ll_network_new(&p.spec, &network), LL_BAD_VALUE);
        assert_null(network);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_position_answers_as_ngspice_says),
        cmocka_unit_test(an_ohm_meter_at_the_jack_shows_the_wiring),
        cmocka_unit_test(groups_that_cannot_be_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
