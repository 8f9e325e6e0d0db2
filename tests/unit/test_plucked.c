/* test_plucked.c - the level of a plucked string in two coils and in their difference, by two routes.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "signal/plucked.h"
#include "signal/spectrum.h"
#include "string/hearing.h"

#include <string.h>

enum { RATE = 48000, SECOND = RATE };
static double voltage[SECOND];
static const double from_bridge_m = 0.06;
static ll_material *wire;

/* Two coils along the string, a pole in each, a magnet between the poles' feet; the second wound against the first. */
static ll_solution *two_coils(void)
{
    ll_scene *scene = new_scene();
    add_soft(scene, rod_mm(4.8, 15), mm(0, -9.5, -7.5), 500);
    add_soft(scene, rod_mm(4.8, 15), mm(0, 9.5, -7.5), 500);
    add_magnet(scene, block_mm(12, 12, 3), mm(0, 0, -14), magnet(0.38, 1), ll_vec(0, 1, 0));
    add_coil(scene, round_coil_mm(3, 6, 7), mm(0, -9.5, -6), 5000);
    add_coil(scene, round_coil_mm(3, 6, 7), mm(0, 9.5, -6), 5000);
    return solved(scene, 0.7);
}

static ll_voice_spec spec_of(const double *share, double displacement_m)
{
    const double d = 0.43e-3;
    return (ll_voice_spec){
        .string = {d, d, wire, 0, 2.7e-3, NULL},
        .tuning = {0.648, 196, 0, ll_string_plain_mass_kg_m(d, 7850), d, d, LL_YOUNG_MUSIC_WIRE_PA},
        .damping = ll_damping_plain,
        .pluck = {0.12, displacement_m, LL_PI / 4, 3e-3, 0.3e-3},
        .from_bridge_m = from_bridge_m,
        .share = share,
        .rate_hz = RATE};
}

/* The sound's own rms over its first second. */
static double sounding(const ll_solution *s, const ll_voice_spec *spec, size_t *ears)
{
    ll_voice *voice = NULL;
    ll_heard_string heard[2];
    assert_ok(ll_voice_new(s, spec, &voice));
    *ears = ll_voice_ears(voice);
    assert_true(*ears == 1 || *ears == 2);
    for (size_t i = 0; i < *ears; i++)
        heard[i] = ll_voice_heard(voice, i, 0);
    assert_ok(ll_voltage(*ears, heard, RATE, SECOND, voltage, NULL));
    ll_voice_free(voice);
    return ll_rms_level(SECOND, voltage);
}

/* A soft pluck, so that nothing bends: each coil, both in phase, both against each other. The levels are the sound's own. */
static void the_level_is_that_of_the_sound(void **state)
{
    (void)state;
    ll_solution *s = two_coils();
    static const double shares[][2] = {{1, 0}, {0, 1}, {1, -1}, {1, 1}};
    static const size_t expected_ears[] = {1, 1, 1, 2};
    double square[4], level[4];
    size_t ears;
    for (size_t k = 0; k < 4; k++) {
        const ll_voice_spec spec = spec_of(shares[k], 0.02e-3);
        assert_ok(ll_plucked_squares(s, &spec, 1, square));
        assert_close(square[1], square[2], 1e-12 * fabs(square[0]));
        level[k] = ll_plucked_level(2, square, shares[k]);
        assert_relative(sounding(s, &spec, &ears), level[k], 0.02);
        assert_int_equal(ears, expected_ears[k]);
    }
    /* One coil reversed is far from silent: the string does not move alike over both. */
    assert_true(level[3] < 0.5 * level[2] && level[3] > 0.02 * level[2]);
    ll_solution_free(s);
}

/* A usual pluck of the reversed pair sounds; as one aperture it was refused as touching a part. */
static void a_reversed_coil_can_be_heard(void **state)
{
    (void)state;
    ll_solution *s = two_coils();
    const double share[] = {1, 1};
    const ll_voice_spec spec = spec_of(share, 1e-3);
    double square[4];
    size_t ears;
    assert_ok(ll_plucked_squares(s, &spec, 1, square));
    assert_relative(sounding(s, &spec, &ears), ll_plucked_level(2, square, share), 0.25);
    ll_solution_free(s);
}

/* The partials without the magnets' pull: their squares make the level that the modes with it have. */
static void partials_add_up_to_the_level(void **state)
{
    (void)state;
    ll_solution *s = two_coils();
    static const double shares[][2] = {{1, 0}, {0, 1}, {1, -1}, {1, 1}};
    double square[4], v[400], slope_v;
    for (size_t k = 0; k < 4; k++) {
        const ll_voice_spec spec = spec_of(shares[k], 1e-3);
        ll_plucked *plucked = NULL;
        double sum = 0;
        assert_ok(ll_plucked_squares(s, &spec, 1, square));
        assert_ok(ll_plucked_new(&spec, 1, &plucked));
        assert_in_range(ll_plucked_partials(plucked), 20, 400);
        assert_ok(ll_plucked_voltages(plucked, s, &spec, v, &slope_v));
        for (size_t i = 0; i < ll_plucked_partials(plucked); i++)
            sum += v[i] * v[i];
        assert_relative(sqrt(sum), ll_plucked_level(2, square, shares[k]), 0.02);
        ll_plucked_free(plucked);
    }
    ll_solution_free(s);
}

/* A coil hears long waves as a point at its pole does, with the sign and the size of its answer to a string that moves as a whole. A
 * pull straight up leaves the crosswise hearing out. */
static void long_waves_are_heard_as_at_a_point(void **state)
{
    (void)state;
    ll_solution *s = two_coils();
    const double share[] = {1, 0};
    ll_voice_spec spec = spec_of(share, 1e-3);
    spec.pluck.angle_rad = LL_PI / 2;
    ll_plucked *plucked = NULL;
    ll_hearing *hearing = NULL;
    double v[400], m_s[400], f_hz[400], dz, dx, slope_v;
    assert_ok(ll_hearing_new(s, share, &spec.string, &hearing));
    ll_hearing_total(hearing, &dz, &dx);
    ll_hearing_free(hearing);
    assert_ok(ll_plucked_new(&spec, 1, &plucked));
    assert_ok(ll_plucked_voltages(plucked, s, &spec, v, &slope_v));
    assert_close(slope_v, -dz, 1e-12);
    ll_plucked_speeds(plucked, from_bridge_m - 9.5e-3, m_s);
    ll_plucked_hz(plucked, f_hz);
    assert_relative(f_hz[0], 196, 1e-3);
    for (size_t i = 0; i < 3; i++)
        assert_relative(v[i], -dz * m_s[i], 0.1);
    ll_plucked_free(plucked);
    ll_solution_free(s);
}

static void what_cannot_be_is_refused(void **state)
{
    (void)state;
    ll_solution *s = two_coils();
    double square[4] = {7, 7, 7, 7};
    ll_voice_spec spec = spec_of(NULL, 1e-3);
    assert_int_equal(ll_plucked_squares(s, &spec, 0, square), LL_BAD_VALUE);
    spec.pluck.from_bridge_m = 1;
    assert_int_equal(ll_plucked_squares(s, &spec, 1, square), LL_BAD_VALUE);
    assert_close(square[0], 7, 0);
    ll_plucked *plucked = NULL;
    assert_int_equal(ll_plucked_new(&spec, 1, &plucked), LL_BAD_VALUE);
    spec.pluck.from_bridge_m = 0.12;
    assert_int_equal(ll_plucked_new(&spec, 0, &plucked), LL_BAD_VALUE);
    assert_null(plucked);
    ll_plucked_free(NULL);
    spec.pluck.from_bridge_m = 1;
    ll_solution_free(s);
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 17), mm(0, 0, -8.5), magnet(1.2, 1), ll_vec(0, 0, 1));
    s = solved(scene, 1);
    spec = spec_of(NULL, 1e-3);
    assert_int_equal(ll_plucked_squares(s, &spec, 1, square), LL_NO_COIL);
    ll_solution_free(s);
}

int main(void)
{
    assert_int_equal(ll_material_named("music wire", &wire), LL_OK);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_level_is_that_of_the_sound),
        cmocka_unit_test(a_reversed_coil_can_be_heard),
        cmocka_unit_test(partials_add_up_to_the_level),
        cmocka_unit_test(long_waves_are_heard_as_at_a_point),
        cmocka_unit_test(what_cannot_be_is_refused),
    };
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    ll_material_free(wire);
    return failed;
}
