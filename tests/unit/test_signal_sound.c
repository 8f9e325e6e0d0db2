/* test_signal_sound.c - sound files, read back byte by byte as the RIFF/WAVE format says (Microsoft and IBM, Multimedia
 * Programming Interface and Data Specifications 1.0, 1991; from memory): what was written, at which pitch.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "check.h"
#include "signal/sound.h"
#include "signal/voltage.h"

#include <complex.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { RATE = LL_SOUND_RATE_HZ, WAVE_PCM = 1, WAVE_FLOAT = 3, WAVE_EXTENSIBLE = 0xFFFE };
static const char path[] = "test_signal_sound.wav";

/* What a reader of the format sees. */
typedef struct wave {
    unsigned tag, channels, rate, bits;
    size_t n;
    double *samples;
} wave;

static unsigned little(const unsigned char *bytes, int count)
{
    unsigned value = 0;
    for (int i = count; i-- > 0;)
        value = value << 8 | bytes[i];
    return value;
}

static unsigned char *read_all(size_t *length)
{
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    assert_int_equal(fseek(file, 0, SEEK_END), 0);
    *length = (size_t)ftell(file);
    rewind(file);
    unsigned char *bytes = malloc(*length + 8);
    assert_non_null(bytes);
    assert_int_equal(fread(bytes, 1, *length, file), *length);
    assert_int_equal(fclose(file), 0);
    return bytes;
}

static double sample(const wave *w, const unsigned char *at)
{
    if (w->tag == WAVE_FLOAT) {
        const unsigned word = little(at, 4);
        float value;
        memcpy(&value, &word, sizeof value);
        return value;
    }
    const unsigned word = little(at, 3);
    return ((double)word - (word & 0x800000 ? 0x1000000 : 0)) / 0x800000;
}

static void read_samples(wave *w, const unsigned char *data, size_t length)
{
    const size_t size = w->bits / 8;
    w->n = length / size;
    w->samples = malloc((w->n + 1) * sizeof(double));
    assert_non_null(w->samples);
    for (size_t i = 0; i < w->n; i++)
        w->samples[i] = sample(w, data + i * size);
}

/* The caller frees w.samples. */
static wave read_wave(void)
{
    size_t length;
    unsigned char *bytes = read_all(&length);
    wave w = {0};
    assert_memory_equal(bytes, "RIFF", 4);
    assert_int_equal(little(bytes + 4, 4), length - 8);
    assert_memory_equal(bytes + 8, "WAVE", 4);
    for (size_t at = 12; at + 8 <= length; at += 8 + little(bytes + at + 4, 4)) {
        const unsigned char *chunk = bytes + at + 8;
        if (memcmp(bytes + at, "fmt ", 4) == 0) {
            w.tag = little(chunk, 2);
            if (w.tag == WAVE_EXTENSIBLE)
                w.tag = little(chunk + 24, 2);
            w.channels = little(chunk + 2, 2);
            w.rate = little(chunk + 4, 4);
            w.bits = little(chunk + 14, 2);
        }
        if (memcmp(bytes + at, "data", 4) == 0)
            read_samples(&w, chunk, little(bytes + at + 4, 4));
    }
    free(bytes);
    return w;
}

/* Phase of the tone near hz in n samples, by projection under a raised cosine. */
static double phase(const double *samples, size_t n, double hz)
{
    double complex sum = 0;
    for (size_t i = 0; i < n; i++) {
        const double t = (double)i / (double)n, u = 2 * LL_PI * hz * (double)i / RATE;
        sum += samples[i] * (1 - cos(2 * LL_PI * t)) * cexp(-I * u);
    }
    return carg(sum);
}

/* Frequency of the tone within RATE / apart / 2 of hz: how its phase moves on between two stretches of the sound. */
static double pitch(const double *samples, size_t stretch, size_t apart, double hz)
{
    const double on = phase(samples + apart, stretch, hz) - phase(samples, stretch, hz);
    const double per_hz = 2 * LL_PI * (double)apart / RATE;
    return hz + remainder(on - per_hz * hz, 2 * LL_PI) / per_hz;
}

static int skip_without_sound(void **state)
{
    (void)state;
    if (ll_sound_available())
        return 0;
    const double v = 0;
    const ll_sound_section section = {1, &v};
    const ll_sound_options o = {LL_SOUND_FLOAT, RATE, 0, 1, 1};
    assert_int_equal(ll_sound_write(path, &o, 1, &section, NULL), LL_NO_SOUND);
    return 1;
}

static void every_sample_comes_back_at_the_stated_scale(void **state)
{
    (void)state;
    enum { N = 5000 };
    static double v[N];
    for (int i = 0; i < N; i++)
        v[i] = 0.2 * sin(0.01 * i) - 0.05 * cos(0.3 * i);
    v[77] = -0.4;
    const ll_sound_section section = {N, v};
    static const struct {
        ll_sound_format format;
        unsigned tag, bits;
        double rounding; /* half a bit; and 1 is written as 2^23 - 1 but read as 2^23 */
    } cases[] = {{LL_SOUND_FLOAT, WAVE_FLOAT, 32, 6e-8}, {LL_SOUND_PCM_24, WAVE_PCM, 24, 1.8e-7}};
    for (size_t k = 0; k < 2; k++) {
        const ll_sound_options o = {cases[k].format, RATE, 0, 0.5, 0};
        ll_sound_facts facts;
        assert_ok(ll_sound_write(path, &o, 1, &section, &facts));
        assert_relative(facts.seconds, (double)N / RATE, 1e-12);
        assert_relative(facts.peak, 0.8, 1e-12);
        const wave w = read_wave();
        assert_int_equal(w.tag, cases[k].tag);
        assert_int_equal(w.bits, cases[k].bits);
        assert_int_equal(w.channels, 1);
        assert_int_equal(w.rate, RATE);
        assert_int_equal(w.n, N);
        for (int i = 0; i < N; i++)
            assert_close(w.samples[i], v[i] / 0.5, cases[k].rounding);
        free(w.samples);
    }
    remove(path);
}

static void before_and_after_share_one_scale_and_a_pause(void **state)
{
    (void)state;
    double before[100], after[50];
    for (int i = 0; i < 100; i++)
        before[i] = 0.01 * cos(0.2 * i);
    for (int i = 0; i < 50; i++)
        after[i] = -0.05 * cos(0.2 * i);
    const ll_sound_section sections[2] = {{100, before}, {50, after}};
    const ll_sound_options o = {LL_SOUND_PCM_24, RATE, 0.01, 0, 0.9};
    ll_sound_facts facts;
    assert_ok(ll_sound_write(path, &o, 2, sections, &facts));
    assert_relative(facts.full_scale_v, 0.05 / 0.9, 1e-12);
    assert_relative(facts.peak, 0.9, 1e-12);
    const wave w = read_wave();
    assert_int_equal(w.n, 100 + 480 + 50);
    assert_close(facts.seconds, (double)w.n / RATE, 1e-12);
    for (size_t i = 0; i < w.n; i++) {
        const double expected = i < 100 ? before[i] : i < 580 ? 0 : after[i - 580];
        assert_close(w.samples[i], expected / facts.full_scale_v, 1.8e-7);
    }
    free(w.samples);
    remove(path);
}

/* What rounding leaves where two coils cancel is silence, and is not made loud. */
static void rounding_is_silent(void **state)
{
    (void)state;
    double noise[100];
    for (int i = 0; i < 100; i++)
        noise[i] = 1e-17 * cos(0.2 * i);
    const ll_sound_section section = {100, noise};
    const ll_sound_options o = {LL_SOUND_FLOAT, RATE, 0, 0, 0.9};
    ll_sound_facts facts;
    assert_ok(ll_sound_write(path, &o, 1, &section, &facts));
    assert_true(facts.peak < 1e-9);
    remove(path);
}

static void a_24_bit_file_never_clips_and_a_float_file_says_so(void **state)
{
    (void)state;
    const double v[3] = {0, 1.5, -0.5};
    const ll_sound_section section = {3, v};
    ll_sound_options o = {LL_SOUND_PCM_24, RATE, 0, 1, 0};
    ll_sound_facts facts = {.peak = 7};
    remove(path);
    assert_int_equal(ll_sound_write(path, &o, 1, &section, &facts), LL_CLIPS);
    assert_close(facts.peak, 7, 0);
    assert_null(fopen(path, "rb"));
    o.format = LL_SOUND_FLOAT;
    assert_ok(ll_sound_write(path, &o, 1, &section, &facts));
    assert_close(facts.peak, 1.5, 1e-12);
    const wave w = read_wave();
    assert_close(w.samples[1], 1.5, 1e-7);
    free(w.samples);
    remove(path);
}

static void full_scale_itself_fits_into_24_bits(void **state)
{
    (void)state;
    const double v[2] = {0.3, -0.3};
    const ll_sound_section section = {2, v};
    const ll_sound_options o = {LL_SOUND_PCM_24, RATE, 0, 0, 1};
    assert_ok(ll_sound_write(path, &o, 1, &section, NULL));
    const wave w = read_wave();
    assert_close(w.samples[0], 1, 2.4e-7);
    assert_close(w.samples[1], -1, 2.4e-7);
    free(w.samples);
    remove(path);
}

static void equal_sounds_make_equal_files(void **state)
{
    (void)state;
    const double v[3] = {0.1, -0.2, 0.3};
    const ll_sound_section section = {3, v};
    const ll_sound_options o = {LL_SOUND_FLOAT, RATE, 0, 1, 0};
    size_t length;
    assert_ok(ll_sound_write(path, &o, 1, &section, NULL));
    unsigned char *bytes = read_all(&length);
    for (size_t i = 0; i + 4 <= length; i++)
        assert_memory_not_equal(bytes + i, "PEAK", 4); /* that chunk holds the time of day */
    free(bytes);
    remove(path);
}

static void sounds_that_cannot_be_are_refused(void **state)
{
    (void)state;
    const double v[2] = {0.1, 0.2}, bad[2] = {0.1, NAN};
    const ll_sound_section section = {2, v}, broken = {2, bad};
    static const ll_sound_options cases[] = {
        {LL_SOUND_FLOAT, 0, 0, 1, 0},      {LL_SOUND_FLOAT, RATE, -1, 1, 0},
        {LL_SOUND_FLOAT, RATE, NAN, 1, 0}, {LL_SOUND_FLOAT, RATE, 0, -1, 0},
        {LL_SOUND_FLOAT, RATE, 0, NAN, 0}, {LL_SOUND_FLOAT, RATE, 0, 0, 0},
        {LL_SOUND_FLOAT, RATE, 0, 0, 1.1}, {(ll_sound_format)9, RATE, 0, 1, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_int_equal(ll_sound_write(path, &cases[i], 1, &section, NULL), LL_BAD_VALUE);
    const ll_sound_options good = {LL_SOUND_FLOAT, RATE, 0, 1, 0};
    assert_int_equal(ll_sound_write(path, &good, 1, &broken, NULL), LL_BAD_VALUE);
    assert_int_equal(ll_sound_write("no/such/folder/x.wav", &good, 1, &section, NULL), LL_FILE);
    assert_null(fopen(path, "rb"));
}

/* An A string through a curved map, from the model to the file and back. */
static void a_files_pitch_is_the_models_within_a_fifth_of_a_cent(void **state)
{
    (void)state;
    enum { N = 2 * RATE, PARTIALS = 60, SIDE = 7, ALL = SIDE * SIDE };
    static double v[N];
    ll_stiff_string s;
    ll_mode_pair pairs[PARTIALS];
    ll_motion *m = NULL;
    ll_linkage_map *map = NULL;
    double x[ALL], z[ALL], wb[ALL];
    const double y = 0.06, weight = 1;
    for (int i = 0; i < ALL; i++) {
        x[i] = 0.5e-3 * (i % SIDE - SIDE / 2);
        z[i] = 0.5e-3 * (i / SIDE - SIDE / 2);
        wb[i] = 1e-4 * pow(hypot(x[i], z[i] + 4e-3) / 4e-3, -2);
    }
    assert_ok(ll_stiff_string_tune(
        &(ll_string_tuning){0.648, 110, 0, 4.2795e-3, 0.914e-3, 0.406e-3, 207e9}, &s));
    assert_ok(ll_mode_pairs(&s, 0, NULL, PARTIALS, pairs));
    assert_ok(ll_motion_new(&s, PARTIALS, pairs, &ll_damping_wound,
                            &(ll_pluck){0.13, 1e-3, 1, 2e-3, 1e-4}, &m));
    assert_ok(ll_linkage_map_new(&(ll_linkage_samples){ALL, x, z, wb}, 4,
                                 &(ll_aperture){1, &y, &weight}, &map));
    assert_ok(ll_voltage(1, &(ll_heard_string){m, map, 0.1}, RATE, N, v, NULL));
    const ll_sound_section section = {N, v};
    const ll_sound_options o = {LL_SOUND_PCM_24, RATE, 0, 0, 0.9};
    assert_ok(ll_sound_write(path, &o, 1, &section, NULL));
    const wave w = read_wave();
    /* The curved map adds sums and differences of partials a few hundredths of a cent beside them. */
    for (size_t n = 1; n <= 4; n++) {
        const double model = ll_stiff_string_partial_hz(&s, n);
        const double heard = pitch(w.samples + RATE / 4, RATE / 2, RATE, model);
        assert_close(ll_cents(heard, model), 0, 0.2);
        /* The measure finds the tone in the file and not what it is told to look for. */
        const double off = model * exp2(1.0 / 1200);
        assert_close(ll_cents(pitch(w.samples + RATE / 4, RATE / 2, RATE, off), heard), 0, 0.01);
    }
    free(w.samples);
    ll_motion_free(m);
    ll_linkage_map_free(map);
    remove(path);
}

/* The same bytes whether they go to a file or to memory, in both formats. */
static void a_sound_in_memory_is_the_file(void **state)
{
    (void)state;
    static double voltage[2000];
    for (int i = 0; i < 2000; i++)
        voltage[i] = 0.3 * sin(0.05 * i);
    const ll_sound_section sections[2] = {{2000, voltage}, {1500, voltage}};
    for (int format = LL_SOUND_FLOAT; format <= LL_SOUND_PCM_24; format++) {
        const ll_sound_options options = {(ll_sound_format)format, RATE, 0.1, 0, 0.5};
        ll_sound_facts facts;
        unsigned char *encoded = NULL, *bytes;
        size_t size = 0, length;
        assert_ok(ll_sound_encode(&options, 2, sections, &encoded, &size, &facts));
        assert_close(facts.peak, 0.5, 1e-12);
        assert_ok(ll_sound_write(path, &options, 2, sections, NULL));
        bytes = read_all(&length);
        assert_int_equal(size, length);
        assert_memory_equal(encoded, bytes, size);
        free(encoded);
        free(bytes);
    }
    const ll_sound_options loud = {LL_SOUND_PCM_24, RATE, 0, 0.1, 0};
    unsigned char *none = NULL;
    size_t size = 7;
    assert_int_equal(ll_sound_encode(&loud, 2, sections, &none, &size, NULL), LL_CLIPS);
    assert_null(none);
    remove(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_sample_comes_back_at_the_stated_scale),
        cmocka_unit_test(before_and_after_share_one_scale_and_a_pause),
        cmocka_unit_test(rounding_is_silent),
        cmocka_unit_test(a_24_bit_file_never_clips_and_a_float_file_says_so),
        cmocka_unit_test(full_scale_itself_fits_into_24_bits),
        cmocka_unit_test(equal_sounds_make_equal_files),
        cmocka_unit_test(sounds_that_cannot_be_are_refused),
        cmocka_unit_test(a_sound_in_memory_is_the_file),
        cmocka_unit_test(a_files_pitch_is_the_models_within_a_fifth_of_a_cent),
    };
    void *unused = NULL;
    if (skip_without_sound(&unused))
        return 0;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
