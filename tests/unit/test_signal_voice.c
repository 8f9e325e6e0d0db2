/* test_signal_voice.c - one plucked string over a pickup: its voltage against its sensitivity, its pitch, its bend.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "signal/spectrum.h"
#include "signal/voice.h"

#include <complex.h>
#include <string.h>

enum { RATE = 48000, SECOND = RATE };
static double voltage[SECOND];
static const double share = 1, from_bridge_m = 0.06;

/* One pole in its coil between two bars. */
static ll_solution *pickup;
static ll_material *wire;

static int solve(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(5, 18), mm(0, 0, -5), 500);
    add_magnet(scene, block_mm(10, 10, 4), mm(0, 8, -12), magnet(0.38, 1), ll_vec(0, -1, 0));
    add_magnet(scene, block_mm(10, 10, 4), mm(0, -8, -12), magnet(0.38, 1), ll_vec(0, 1, 0));
    add_coil(scene, round_coil_mm(3, 8, 10), mm(0, 0, -2), 8000);
    pickup = solved(scene, 0.7);
    assert_ok(ll_material_named("music wire", &wire));
    return 0;
}

static int let_go(void **state)
{
    (void)state;
    ll_solution_free(pickup);
    ll_material_free(wire);
    return 0;
}

/* E4 of 0.254 mm, gap_mm over the pole. */
static ll_voice_spec spec_of(double gap_mm, ll_pluck pluck)
{
    const double d = 0.254e-3;
    return (ll_voice_spec){.string = {d, d, wire, 0, 1e-3 * (4 + gap_mm) + d / 2, NULL},
                           .tuning = {0.648, 329.63, 0, ll_string_plain_mass_kg_m(d, 7850), d, d,
                                      LL_YOUNG_MUSIC_WIRE_PA},
                           .damping = ll_damping_plain,
                           .pluck = pluck,
                           .from_bridge_m = from_bridge_m,
                           .share = &share,
                           .rate_hz = RATE};
}

static ll_voice *voice_of(const ll_voice_spec *spec)
{
    ll_voice *voice = NULL;
    assert_ok(ll_voice_new(pickup, spec, &voice));
    return voice;
}

static void sound(const ll_voice *voice)
{
    const ll_heard_string heard = ll_voice_heard(voice, 0, 0);
    assert_ok(ll_voltage(1, &heard, RATE, SECOND, voltage, NULL));
}

/* Plucked softly, straight up, a partial of amplitude a_n has the level |slope| 2 pi f_n a_n |sin(n pi y / L)|: sensitivity times
 * velocity over the pole. Within 2 %: 1 % of the map, and what the aperture takes from partial 4. */
static void a_small_swing_gives_its_sensitivity_times_velocity(void **state)
{
    (void)state;
    const ll_voice_spec spec = spec_of(2.5, (ll_pluck){0.12, 0.02e-3, LL_PI / 2, 0, 0});
    ll_voice *voice = voice_of(&spec);
    ll_stiff_string tuned;
    double dz, dx, hz[4], level[4];
    sound(voice);
    assert_ok(ll_string_gradient(pickup, 0, &spec.string, &dz, &dx));
    assert_ok(ll_stiff_string_tune(&spec.tuning, &tuned));
    for (size_t n = 1; n <= 4; n++)
        hz[n - 1] = ll_voice_partial_hz(voice, n);
    const size_t attack = RATE / 8;
    assert_ok(ll_tone_levels(attack, voltage, RATE, 4, hz, level));
    for (size_t n = 1; n <= 4; n++) {
        const double along = sin((double)n * LL_PI * from_bridge_m / tuned.length_m);
        const double decay = ll_damping_decay_per_s(&spec.damping, &tuned, n);
        const double expected = fabs(dz) * 2 * LL_PI * hz[n - 1] *
                                fabs(ll_pluck_amplitude_m(&spec.pluck, &tuned, n) * along);
        /* The window's middle is what it weighs most. */
        assert_relative(level[n - 1], expected * exp(-decay * (double)attack / RATE / 2), 0.02);
    }
    ll_voice_free(voice);
}

/* Frequency by how far the phase of one tone goes between two windows of a quarter of a second, a quarter of a second apart. */
static double measured_hz(double about_hz)
{
    double complex window[2] = {0, 0};
    for (size_t i = 0; i < SECOND / 2; i++) {
        const double complex turn = cexp(-2 * LL_PI * I * about_hz * (double)i / RATE);
        const double hann = 1 - cos(2 * LL_PI * (double)(i % (SECOND / 4)) / (SECOND / 4));
        window[i / (SECOND / 4)] += hann * voltage[i] * turn;
    }
    return about_hz + carg(window[1] / window[0]) / (2 * LL_PI * 0.25);
}

/* Magnets pull at a string that moves up and down more than at one that moves across: it sounds lower. Along the axes of the two
 * modes a pluck sounds one of them, and halfway between it has half of each. Within 0.002 Hz, two hundredths of a cent. */
static void a_partial_has_the_frequency_of_its_pluck(void **state)
{
    (void)state;
    double hz[3];
    for (int k = 0; k < 3; k++) {
        const ll_voice_spec spec = spec_of(1.5, (ll_pluck){0.12, 0.02e-3, k * LL_PI / 4, 0, 0});
        ll_voice *voice = voice_of(&spec);
        sound(voice);
        hz[k] = ll_voice_partial_hz(voice, 1);
        if (k == 2)
            assert_close(measured_hz(hz[k]), hz[k], 0.002);
        ll_voice_free(voice);
    }
    assert_true(hz[2] < hz[0] - 0.05);
    assert_close(hz[1], (hz[0] + hz[2]) / 2, 1e-9);
}

/* A string plucked in its middle has no second partial: what is heard at twice the pitch comes from the bend of the linkage.
 * Its level over that of the first. */
static double second_over_first(const ll_material *material, double gap_mm, double height_mm)
{
    ll_voice_spec spec = spec_of(gap_mm, (ll_pluck){0.324, 1e-3 * height_mm, LL_PI / 2, 0, 0});
    double level[2];
    spec.string.material = material;
    spec.from_bridge_m = 0.15;
    ll_voice *voice = voice_of(&spec);
    const double hz[2] = {ll_voice_partial_hz(voice, 1), 2 * ll_voice_partial_hz(voice, 1)};
    sound(voice);
    assert_ok(ll_tone_levels(RATE / 4, voltage, RATE, 2, hz, level));
    ll_voice_free(voice);
    return level[1] / level[0];
}

/* Of a string that does not saturate: the further away, the straighter the law. */
static void distortion_falls_as_the_gap_opens(void **state)
{
    (void)state;
    ll_material *straight = steel(200);
    double before = HUGE_VAL;
    for (double gap = 1.5; gap < 7; gap *= 1.6) {
        const double now = second_over_first(straight, gap, 1);
        assert_true(now > 0.01 && now < 0.85 * before);
        before = now;
    }
    ll_material_free(straight);
}

/* L. Guadagnin et al., J. Audio Eng. Soc. 65 (2017) 711, abstract: distortion is set by the amplitude, and weakly by the distance.
 * String wire over a pickup saturates the more the closer it is, which straightens the law there. */
static void distortion_of_string_wire_goes_with_amplitude_and_weakly_with_distance(void **state)
{
    (void)state;
    const double usual = second_over_first(wire, 2.5, 1);
    assert_relative(second_over_first(wire, 2.5, 0.5), usual / 2, 0.15);
    assert_relative(second_over_first(wire, 5, 1), usual, 0.4);
}

/* Standing over a node of the third partial, the pickup hears it only by its aperture; textbook. */
static void a_partial_with_its_node_over_the_pole_is_missing(void **state)
{
    (void)state;
    ll_voice_spec spec = spec_of(2.5, (ll_pluck){0.1, 0.05e-3, LL_PI / 2, 0, 0});
    spec.from_bridge_m = 0.216;
    ll_voice *voice = voice_of(&spec);
    double hz[3], level[3];
    sound(voice);
    for (size_t n = 1; n <= 3; n++)
        hz[n - 1] = ll_voice_partial_hz(voice, n);
    assert_ok(ll_tone_levels(RATE / 4, voltage, RATE, 3, hz, level));
    assert_true(level[2] < 0.01 * level[1]);
    ll_voice_free(voice);
}

static void strings_that_cannot_sound_are_refused(void **state)
{
    (void)state;
    ll_material *bronze;
    assert_ok(ll_material_conductor(1e7, &bronze));
    const ll_pluck usual = {0.12, 1e-3, LL_PI / 2, 0, 0};
    ll_voice_spec spec[5];
    for (int i = 0; i < 5; i++)
        spec[i] = spec_of(2.5, usual);
    spec[0].string.material = bronze;
    spec[1].pluck.from_bridge_m = 0.7;
    spec[2].rate_hz = 0;
    spec[3].tuning.frequency_hz = 0;
    spec[4].pluck.height_m = 10e-3;
    const ll_status expected[] = {LL_BAD_VALUE, LL_BAD_VALUE, LL_BAD_VALUE, LL_BAD_SIZE,
                                  LL_STRING_IN_PART};
    ll_voice *voice = NULL;
    for (int i = 0; i < 5; i++)
        assert_int_equal(ll_voice_new(pickup, &spec[i], &voice), expected[i]);
    assert_null(voice);
    ll_voice_free(NULL);
    ll_material_free(bronze);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_small_swing_gives_its_sensitivity_times_velocity),
        cmocka_unit_test(a_partial_has_the_frequency_of_its_pluck),
        cmocka_unit_test(distortion_falls_as_the_gap_opens),
        cmocka_unit_test(distortion_of_string_wire_goes_with_amplitude_and_weakly_with_distance),
        cmocka_unit_test(a_partial_with_its_node_over_the_pole_is_missing),
        cmocka_unit_test(strings_that_cannot_sound_are_refused),
    };
    return cmocka_run_group_tests(tests, solve, let_go);
}
