/* test_no_memory.c - all of the engine where memory is refused: a status, nothing lost, nothing left behind.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/coils.h"
#include "bench/step.h"
#include "bench/weigh.h"
#include "build.h"
#include "card_session.h"
#include "circuit/network.h"
#include "eddies/eddies.h"
#include "reading/blade.h"
#include "reading/estimator.h"
#include "reading/hum.h"
#include "reading/moving_turns.h"
#include "recording/plucks.h"
#include "refuse.h"
#include "signal/plucked.h"
#include "signal/sound.h"
#include "signal/spectrum.h"
#include "string/dulling.h"
#include "string/hearing.h"
#include "string/pull.h"

#include <omp.h>
#include <string.h>
#include <suitesparse/SuiteSparse_config.h>

/* Sums of values in one order, which do not change from run to run. */
static const double same = 1e-9;

/* ---- scenes ---- */

static ll_material *named(const char *name)
{
    ll_material *m;
    assert_ok(ll_material_named(name, &m));
    return m;
}

static void add_named(ll_scene *scene, ll_shape shape, ll_vec3 at_m, const char *material,
                      ll_vec3 north)
{
    add_posed(scene, shape, ll_pose_at(at_m), named(material), north);
}

/* One pole in its coil: all scenes have it but that of blocks. */
static ll_scene *with_pole(const char *material, ll_vec3 north)
{
    ll_scene *scene = new_scene();
    add_named(scene, rod_mm(5, 12), mm(0, 0, -6), material, north);
    add_coil(scene, round_coil_mm(3, 6, 5), mm(0, 0, -6), 5000);
    return scene;
}

static ll_scene *rods(void)
{
    ll_scene *scene = with_pole("AlNiCo 5", ll_vec(0, 0, 1));
    add_named(scene, screw_mm(3, 8, 5, 2), mm(9, 0, -4), "steel 1018", ll_vec(0, 0, 0));
    return scene;
}

static ll_scene *blocks(void)
{
    ll_scene *scene = new_scene();
    add_named(scene, block_mm(8, 2, 8), mm(0, 0, -4), "steel 1010", ll_vec(0, 0, 0));
    add_magnet(scene, block_mm(8, 4, 3), mm(0, 9, -7), magnet(0.38, 1.05), ll_vec(0, -1, 0));
    add_coil(scene, (ll_coil_shape){10e-3, 3e-3, 1.5e-3, 2e-3, 3e-3}, mm(0, 0, -3), 5000);
    return scene;
}

static ll_scene *tetrahedra(void)
{
    ll_scene *scene = with_pole("steel 1018", ll_vec(0, 0, 0));
    add_magnet(scene, block_mm(10, 8, 3), mm(0, 6.6, -10.5), magnet(0.38, 1.05), ll_vec(0, -1, 0));
    return scene;
}

/* Magnets that were charged alone, one on the other. */
static ll_scene *histories(void)
{
    ll_scene *scene = with_pole("steel 1018", ll_vec(0, 0, 0));
    const ll_part part = {.name = "magnet",
                          .shape = block_mm(10, 10, 3),
                          .pose = ll_pose_at(mm(0, 0, -13.5)),
                          .material = named("AlNiCo 5"),
                          .north = ll_vec(0, 0, 1),
                          .charge = 1,
                          .charged = LL_CHARGED_ALONE};
    assert_ok(ll_scene_add_part(scene, &part));
    ll_material_free((ll_material *)part.material);
    return scene;
}

/* Currents in steel and in sheets. */
static ll_scene *metal(void)
{
    ll_scene *scene = with_pole("steel 1018", ll_vec(0, 0, 0));
    add_named(scene, block_mm(12, 12, 0.5), mm(0, 0, 1), "brass", ll_vec(0, 0, 0));
    return scene;
}

static ll_scene *air(void)
{
    ll_scene *scene = new_scene();
    add_magnet(scene, rod_mm(5, 12), mm(0, 0, -6), magnet(1.2, 1), ll_vec(0, 0, 1));
    add_coil(scene, round_coil_mm(3, 6, 5), mm(0, 0, -6), 5000);
    return scene;
}

static const ll_vec3 above_m = {1e-3, 0, 2e-3};
static const ll_solve_options coarse = {.fineness = 0.3, .level = 1};

/* ---- what is solved ---- */

static ll_status solve_and_read(void *context, double *values)
{
    ll_scene *scene = context;
    ll_vec3 h = {0, 0, 0};
    ll_solution *s = NULL;
    ll_operating_point operating = {0, 0, 0};
    ll_status status = ll_solve(scene, &coarse, &s);
    if (!status)
        status = ll_solution_b(s, 1, &above_m, (ll_vec3 *)values);
    if (!status)
        status = ll_solution_section_bz(s, 0, -4e-3, &values[3]);
    if (!status)
        status = ll_solution_coil_h(s, 0, 1, &above_m, &h);
    if (!status)
        status = ll_solution_inductance(s, 0, 0, &values[4]);
    if (!status)
        status = ll_blade_linkage(s, above_m, &values[5]);
    if (!status)
        status = ll_moving_turns(s, 0, 0, 1e-3, 100, &h);
    if (!status && ll_scene_part(scene, ll_scene_part_count(scene) - 1)->north.y != 0)
        status = ll_solution_operating_point(s, ll_scene_part_count(scene) - 1, &operating);
    values[6] = h.z;
    values[7] = operating.b_t;
    ll_solution_free(s);
    return status;
}

static void refuse_scene(ll_scene *(*make)(void), job what, double tolerance)
{
    ll_scene *scene = make();
    refuse_each(what, scene, tolerance);
    ll_scene_free(scene);
}

#define SOLVED(make)                                                                               \
    static void make##_are_solved(void **state)                                                    \
    {                                                                                              \
        (void)state;                                                                               \
        refuse_scene(make, solve_and_read, same);                                                  \
    }
SOLVED(rods)
SOLVED(blocks)
SOLVED(tetrahedra)
SOLVED(histories)
SOLVED(air)

static ll_status read_one(const ll_solution *s, void *context, double *values)
{
    (void)context;
    return ll_solution_b(s, 1, &above_m, (ll_vec3 *)values);
}

static ll_status estimate(void *context, double *values)
{
    ll_estimator *e = NULL;
    double error[3];
    const ll_solve_options less_coarse = {.fineness = 0.45};
    ll_status status = ll_estimator_new(context, &less_coarse, 0.02, &e);
    if (!status)
        status = ll_estimator_read(e, NULL, read_one, NULL, 0, 3, values, error);
    ll_estimator_free(e);
    return status;
}

/* Where memory for a finer mesh is refused, the coarser one's value stands with its error. */
static void errors_are_told(void **state)
{
    (void)state;
    refuse_scene(rods, estimate, same);
    refuse_scene(tetrahedra, estimate, 0.1);
}

static ll_status make_scene(void *context, double *values)
{
    ll_material *m = NULL, *bent = NULL, *wire = NULL;
    ll_scene *scene = NULL;
    ll_status status = ll_material_steel(500, 5e6, &m);
    if (!status)
        status = ll_material_named(context, &bent);
    if (!status)
        status = ll_material_steel_curve(3, (const double[]){0, 100, 1e5},
                                         (const double[]){0, 0.5, 2}, 0, &wire);
    if (!status)
        status = ll_scene_new(&scene);
    const ll_part part = {.name = "pole",
                          .shape = {.kind = LL_ROD, .radius_m = 2e-3, .size_m = {4e-3, 4e-3, 1e-2}},
                          .pose = ll_pose_at(mm(0, 0, 0)),
                          .material = m};
    const ll_coil coil = {"coil", round_coil_mm(3, 6, 5), ll_pose_at(mm(0, 0, 0)), 5000};
    for (int i = 0; i < 20 && !status; i++)
        status = ll_scene_add_part(scene, &part);
    for (int i = 0; i < 20 && !status; i++)
        status = ll_scene_add_coil(scene, &coil);
    if (!status)
        values[0] = (double)ll_scene_part_count(scene);
    ll_scene_free(scene);
    ll_material_free(m);
    ll_material_free(bent);
    ll_material_free(wire);
    return status;
}

static void scenes_are_made(void **state)
{
    (void)state;
    refuse_each(make_scene, (void *)"steel 1018", 0);
}

/* ---- what is read of a solution ---- */

typedef struct bench_of_strings {
    ll_solution *s;
    ll_material *wire;
    ll_string string;
    ll_voice_spec voice;
} bench_of_strings;

static const double share = 1;

static bench_of_strings strings_over(ll_scene *(*make)(void))
{
    const double d = 0.4e-3;
    bench_of_strings b = {.s = solved(make(), 0.3), .wire = named("music wire")};
    b.string = (ll_string){d, d, b.wire, 0.3e-3, 2.5e-3, NULL};
    b.voice = (ll_voice_spec){
        .string = b.string,
        .tuning = {0.648, 196, 0, ll_string_plain_mass_kg_m(d, 7850), d, d, LL_YOUNG_MUSIC_WIRE_PA},
        .damping = ll_damping_plain,
        .pluck = {0.13, 0.5e-3, 1, 3e-3, 0},
        .from_bridge_m = 0.05,
        .share = &share,
        .rate_hz = 2000};
    return b;
}

static void let_go(bench_of_strings *b)
{
    ll_solution_free(b->s);
    ll_material_free(b->wire);
}

static const double sound_hz[] = {100, 1000, 5000, 1e4, 2e4};
enum { FREQUENCIES = sizeof sound_hz / sizeof *sound_hz };

static ll_status hear_currents(void *context, double *values)
{
    const bench_of_strings *b = context;
    ll_eddies *eddies = NULL;
    double complex change[FREQUENCIES] = {0}, dull[FREQUENCIES] = {0};
    ll_vec3 re, im;
    ll_status status = ll_eddies_new(b->s, NULL, FREQUENCIES, sound_hz, &eddies);
    if (!status)
        status = ll_eddies_inductance(eddies, 0, 0, FREQUENCIES, sound_hz, change);
    if (!status)
        status = ll_eddies_coil_h(eddies, 0, 0, 1, &above_m, &re, &im);
    if (!status)
        status = ll_dulling(eddies, &share, &b->string, FREQUENCIES, sound_hz, dull);
    for (int k = 0; k < 4 && !status; k++) {
        values[k] = cimag(change[k]);
        values[k + 4] = creal(dull[k]);
    }
    ll_eddies_free(eddies);
    return status;
}

static ll_status hear_string(void *context, double *values)
{
    const bench_of_strings *b = context;
    const ll_outside_field hum = ll_hum_field(2, 1, 0.1, above_m);
    ll_hearing *hearing = NULL;
    ll_pull *pull = NULL;
    ll_linkage_map *map = NULL;
    ll_status status = ll_string_gradient(b->s, 0, &b->string, &values[0], &values[1]);
    if (!status)
        status = ll_hearing_new(b->s, &share, &b->string, &hearing);
    if (!status) {
        const ll_aperture aperture = ll_hearing_aperture(hearing);
        status = ll_hearing_map(b->s, &share, &b->string, &aperture, 1e-3, 1e-3, &map);
    }
    if (!status)
        status = ll_linkage_map_value(map, 1e-4, 1e-4, &values[2]);
    if (!status)
        status = ll_pull_new(b->s, &b->string, 0.05, &pull);
    if (!status)
        status = ll_pull_total(pull, 0.648, &values[3], &values[4]);
    if (!status)
        status = ll_hum_linkage(b->s, 0, &hum, &values[5]);
    ll_hearing_free(hearing);
    ll_linkage_map_free(map);
    ll_pull_free(pull);
    return status;
}

static ll_status half(void *context, size_t n, const double *f_hz, double *re, double *im)
{
    (void)context;
    for (size_t i = 0; i < n; i++) {
        re[i] = f_hz[i] < 1000 ? 0.5 : 0.25;
        im[i] = 0;
    }
    return LL_OK;
}

static ll_status play_string(void *context, double *values)
{
    enum { N = 256 };
    const bench_of_strings *b = context;
    double v[N], spectrum[N];
    ll_voice *voice = NULL;
    unsigned char *bytes = NULL;
    size_t size;
    ll_status status = ll_plucked_squares(b->s, &b->voice, 0.5, &values[0]);
    if (!status)
        status = ll_voice_new(b->s, &b->voice, &voice);
    if (!status) {
        const ll_heard_string heard = ll_voice_heard(voice, 0, 0);
        status = ll_voltage(1, &heard, 2000, N, v, NULL);
    }
    if (!status)
        status = ll_filter(N, v, 2000, 64, &(ll_response){half, NULL});
    if (!status)
        status = ll_spectrum(N, v, spectrum);
    if (!status && ll_sound_available())
        status = ll_sound_encode(&(ll_sound_options){LL_SOUND_PCM_24, 8000, 0, 0, 0.5}, 1,
                                 &(ll_sound_section){N, v}, &bytes, &size, NULL);
    if (!status) {
        values[1] = ll_rms_level(N, v);
        values[2] = spectrum[3];
    }
    free(bytes);
    ll_voice_free(voice);
    return status;
}

static void refuse_strings(ll_scene *(*make)(void), job what)
{
    bench_of_strings b = strings_over(make);
    refuse_each(what, &b, same);
    let_go(&b);
}

static void strings_are_heard(void **state)
{
    (void)state;
    refuse_strings(rods, hear_string);
    refuse_strings(tetrahedra, hear_string);
}

static void strings_are_played(void **state)
{
    (void)state;
    refuse_strings(rods, play_string);
}

static void currents_are_found(void **state)
{
    (void)state;
    refuse_strings(metal, hear_currents);
    refuse_strings(tetrahedra, hear_currents);
}

/* ---- what needs no field ---- */

static ll_status join_network(void *context, double *values)
{
    const ll_coil_row rows[2] = {{100, 7500, 2.5}, {10000, 8000, 2.4}};
    const ll_network_coil coils[2] = {{2, rows, 1e-10, false, 1, 0, 0, 0, false},
                                      {2, rows, 1e-10, true, 0.5, 0, 0, 0, false}};
    const ll_network_spec spec = {.coil_count = 2,
                                  .coils = coils,
                                  .coupling = 0.1,
                                  .volume = {250e3, 0.7, LL_AUDIO_TAPER},
                                  .tone = {250e3, 0.5, LL_LINEAR_TAPER},
                                  .tone_cap_f = 22e-9,
                                  .cable_f = 5e-10,
                                  .input_ohm = 1e6};
    ll_network *network = NULL;
    ll_peak peak = {0};
    (void)context;
    ll_status status = ll_network_new(&spec, &network);
    if (!status)
        status = ll_network_peak(network, &peak);
    if (!status)
        status = ll_network_noise(network, 20, 2e4, &values[0]);
    if (!status) {
        values[1] = peak.low_gain;
        values[2] = peak.gain;
    }
    ll_network_free(network);
    return status;
}

static ll_status weigh(void *context, double *values)
{
    enum { N = 3, POINTS = 3 };
    const ll_bench_reading reading[N] = {
        {.absolute = 0.1, .common = 0.05, .broad = 2},
        {.test = 1, .absolute = 0.1, .relative = 0.01},
        {.kind = LL_BENCH_SIGN, .test = 2, .absolute = 0.1, .weak = 0.1}};
    const double sound[N] = {0, 0, 1}, sizes[POINTS * N] = {0.5, 0, 1, 1, 0.2, 1, 2, 0.4, -1},
                 at[POINTS] = {0, 1, 2};
    const ll_bench_hypothesis each[2] = {
        {.prior = 1, .points = 1, .predicted = sound},
        {.prior = 0.1, .points = POINTS, .predicted = sizes, .count = {POINTS}, .at = {at}}};
    const double tolerance[N] = {0.1, 0.1, 0}, value[2] = {0.9, 0.1};
    const size_t which[2] = {0, 1};
    const ll_bench bench = {N, 2, 1, reading, each, tolerance};
    double probability[2], shares[1 + POINTS], misfit[2], slip[2], bits[N];
    (void)context;
    ll_status status = ll_bench_weigh(&bench, 2, which, value, probability, shares, misfit);
    if (!status)
        status = ll_bench_slips(&bench, 2, which, value, probability, shares, slip);
    if (!status)
        status = ll_bench_information(&bench, probability, shares, bits);
    if (!status) {
        memcpy(values, probability, sizeof probability);
        memcpy(values + 2, slip, sizeof slip);
        memcpy(values + 4, bits, sizeof bits);
    }
    return status;
}

static ll_status step(void *context, double *values)
{
    const double jacobian[6] = {1, 0.2, 0.3, 1, 0.5, 0.5}, residual[3] = {1, -1, 0.5},
                 x[2] = {0, 0}, low[2] = {-0.5, -2}, high[2] = {0.5, 2};
    (void)context;
    ll_status status = ll_bench_step(3, 2, jacobian, residual, x, low, high, 0.1, values);
    return status ? status : ll_bench_uncertainty(3, 2, jacobian, 1, residual, values + 2);
}

static ll_status short_turns(void *context, double *values)
{
    const double r_ohm[2] = {4000, 4200}, l_h[4] = {2, -0.3, -0.3, 2.2};
    const ll_coil_state state[2] = {{.turns = 1, .wire = 1, .core = 1, .shorted = 0.1},
                                    {.turns = 0.9, .wire = 1, .core = 1, .reversed = true}};
    const ll_series_coils coils = {2, r_ohm, l_h, state, 0, false};
    ll_series_figures found = {0};
    (void)context;
    ll_status status = ll_series_resistances(&coils, 25, values);
    if (!status)
        status = ll_series_turns(&coils, values + 2);
    if (!status)
        status = ll_series_impedance(&coils, 1000, (ll_eddy_share){100, 0.98}, 25, &found);
    if (!status) {
        values[4] = found.r_ohm;
        values[5] = found.shorted_h;
    }
    return status;
}

static void circuits_and_benches_are_worked_out(void **state)
{
    (void)state;
    refuse_each(short_turns, NULL, same);
    refuse_each(join_network, NULL, same);
    refuse_each(weigh, NULL, same);
    refuse_each(step, NULL, same);
}

static const ll_sweep_signal short_sweep = {30, 3000, 0.5, 0.6, 440, 0.3, 0.5, 2, 0};
static const card_session card = {.coil = {7800, 3.1, 140e-12, 0.3, 4e3, 0.4, 6e3},
                                  .series_ohm = 47e3,
                                  .input_ohm = 9e5,
                                  .input_f = 90e-12,
                                  .noise = 1e-4,
                                  .corner_hz = {8, 5},
                                  .seed = 5};

static ll_status hear_recording(void *context, double *values)
{
    enum { N = 12 };
    const ll_recording *recording = context;
    double f[N];
    ll_transfer_point ratio[N];
    ll_impedance_point z[N];
    ll_coil_found coil;
    ll_pluck_found pluck[4];
    ll_quiet quiet;
    size_t plucks;
    for (int i = 0; i < N; i++)
        f[i] = 50 * pow(50, (double)i / (N - 1));
    ll_status status = ll_transfer(recording, 0, 1, &short_sweep, N, f, ratio, NULL);
    if (!status)
        status = ll_bridge_impedance(&(ll_bridge){47e3, 1 / 9e5, 90e-12}, N, ratio, NULL, z);
    if (!status)
        status = ll_coil_find(N, z, &coil);
    if (!status)
        status = ll_plucks_find(recording, 0, 4, pluck, &plucks, &quiet);
    if (!status) {
        values[0] = coil.model.r_ohm;
        values[1] = coil.model.l_h;
        values[2] = quiet.rms;
    }
    return status;
}

static void recordings_are_heard(void **state)
{
    (void)state;
    ll_recording *recording = card_record(&card, &short_sweep, 8000);
    assert_non_null(recording);
    refuse_each(hear_recording, recording, same);
    ll_recording_free(recording);
}

/* Threads of their own would ask for memory in another order each time. */
static int prepare(void **state)
{
    (void)state;
    omp_set_num_threads(1);
    SuiteSparse_config.malloc_func = malloc;
    SuiteSparse_config.calloc_func = calloc;
    SuiteSparse_config.realloc_func = realloc;
    SuiteSparse_config.free_func = free;
    return 0;
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(scenes_are_made),
        cmocka_unit_test(air_are_solved),
        cmocka_unit_test(rods_are_solved),
        cmocka_unit_test(blocks_are_solved),
        cmocka_unit_test(tetrahedra_are_solved),
        cmocka_unit_test(histories_are_solved),
        cmocka_unit_test(errors_are_told),
        cmocka_unit_test(currents_are_found),
        cmocka_unit_test(strings_are_heard),
        cmocka_unit_test(strings_are_played),
        cmocka_unit_test(circuits_and_benches_are_worked_out),
        cmocka_unit_test(recordings_are_heard),
    };
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, prepare, NULL);
}
