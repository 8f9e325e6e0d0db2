/* random_scenes.h - pickups as they might be built, drawn from a seed: poles with bars, plates pressed on poles, blades,
 * rings, rods on magnets and rod magnets on a plate, with gaps from nothing to 2 mm.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BENCH_RANDOM_SCENES_H
#define LL_BENCH_RANDOM_SCENES_H

#include "build.h"
#include <stdint.h>

/* ---- dice ---- */

typedef struct dice {
    uint64_t state;
} dice;

/* Splitmix64 (Steele, Lea, Flood, OOPSLA 2014), from memory: any seed will do. */
static inline uint64_t roll_bits(dice *d)
{
    uint64_t z = d->state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

static inline double roll(dice *d, double from, double to)
{
    return from + (to - from) * (double)(roll_bits(d) >> 11) * 0x1p-53;
}

/* Even in the logarithm. */
static inline double roll_scale(dice *d, double from, double to)
{
    return from * pow(to / from, roll(d, 0, 1));
}

static inline int roll_int(dice *d, int below)
{
    return (int)(roll_bits(d) % (uint64_t)below);
}

/* Nothing in one case of six, else 0.02 to 2 mm. */
static inline double roll_gap(dice *d)
{
    return roll_int(d, 6) ? roll_scale(d, 0.02, 2) : 0;
}

/* ---- what scenes are made of ---- */

/* Where a scene's materials come from. */
typedef struct stock_room {
    ll_material *(*soft)(dice *d);
    ll_material *(*hard)(dice *d);
    double (*charge)(dice *d);
    ll_charging (*charged)(dice *d); /* NULL: all where they stand */
} stock_room;

enum { PROBES = 6 };

typedef struct random_scene {
    ll_scene *scene;
    const char *kind;
    double gap_mm;
    size_t section_part; /* of steel */
    double section_z_m;
    bool has_coil;
    ll_vec3 probe_m[PROBES];
} random_scene;

/* A scene in the making. Everything that stands has its top at z = 0 and bars stay below z = -7 mm, so that a coil fits
 * between. */
typedef struct workshop {
    dice *d;
    const stock_room *stock;
    random_scene *out;
    double half_x, half_y; /* mm, of what a coil must clear; 0: no room for one */
} workshop;

static const double pole_pitch_mm = 10.4, bar_top_mm = -7;

static inline void place_soft(workshop *w, ll_shape shape, ll_vec3 at_m)
{
    add_posed(w->out->scene, shape, ll_pose_at(at_m), w->stock->soft(w->d), ll_vec(0, 0, 0));
}

static inline void place_hard(workshop *w, ll_shape shape, ll_vec3 at_m, ll_vec3 north)
{
    ll_material *m = w->stock->hard(w->d);
    ll_part part = {.name = "magnet",
                    .shape = shape,
                    .pose = ll_pose_at(at_m),
                    .material = m,
                    .north = north,
                    .charge = w->stock->charge(w->d)};
    if (w->stock->charged)
        part.charged = w->stock->charged(w->d);
    assert_ok(ll_scene_add_part(w->out->scene, &part));
    ll_material_free(m);
}

/* ---- constructions ---- */

typedef struct row_of_poles {
    int count;
    double radius, widest, length;
} row_of_poles;

/* One to six equal rods or screws of one steel, fewer more often. */
static inline row_of_poles add_poles(workshop *w)
{
    dice *d = w->d;
    row_of_poles r = {.count = 1 + roll_int(d, 1 + roll_int(d, 6)), .radius = roll(d, 1.5, 3)};
    r.length = roll(d, 12, 18);
    r.widest = r.radius;
    ll_shape shape = rod_mm(2 * r.radius, r.length);
    if (roll_int(d, 3) == 0) {
        r.widest = r.radius + roll(d, 0.4, 1.4);
        shape = screw_mm(2 * r.radius, r.length, 2 * r.widest, roll(d, 1.2, 2.5));
    }
    ll_material *m = w->stock->soft(d);
    for (int i = 0; i < r.count; i++)
        add_posed(w->out->scene, shape,
                  ll_pose_at(mm((i - 0.5 * (r.count - 1)) * pole_pitch_mm, 0, -r.length / 2)),
                  ll_material_share(m), ll_vec(0, 0, 0));
    ll_material_free(m);
    w->half_x = 0.5 * (r.count - 1) * pole_pitch_mm + r.widest;
    w->half_y = r.widest;
    return r;
}

/* One or two bars whose faces stand off a plane at y = +-half_y, the lower end of the scene at z = bottom. */
static inline void add_bars(workshop *w, double half_y, double length, double bottom)
{
    dice *d = w->d;
    const double height = roll(d, 3, 5), depth = roll(d, 4, 9);
    const double z = roll(d, bottom, bar_top_mm - height / 2 - 0.1);
    const int sides = 1 + (roll_int(d, 3) > 0);
    w->out->gap_mm = roll_gap(d);
    for (int i = 0; i < sides; i++) {
        const double side = i ? -1 : 1, y = half_y + w->out->gap_mm + depth / 2;
        place_hard(w, block_mm(length, depth, height), mm(0, side * y, z), ll_vec(0, -side, 0));
    }
}

static inline void poles_with_bars(workshop *w)
{
    const row_of_poles r = add_poles(w);
    w->out->kind = "poles, bars beside";
    add_bars(w, r.radius, 2 * w->half_x + roll(w->d, 0, 6), -r.length);
}

static inline void add_bar_below(workshop *w, double top, double half_x, double half_y)
{
    const double height = roll(w->d, 3, 5);
    w->out->gap_mm = roll_gap(w->d);
    place_hard(w, block_mm(2 * half_x, 2 * half_y, height),
               mm(0, 0, top - w->out->gap_mm - height / 2), ll_vec(0, 0, 1));
}

static inline void poles_over_bar(workshop *w)
{
    const row_of_poles r = add_poles(w);
    w->out->kind = "poles, bar below";
    add_bar_below(w, -r.length, w->half_x + 1, roll(w->d, 3, 6));
}

static inline void poles_in_plate(workshop *w)
{
    const row_of_poles r = add_poles(w);
    dice *d = w->d;
    const double thickness = roll(d, 1, 3), bottom = -r.length + roll_int(d, 2) * roll(d, 0.5, 2);
    const double half_y = r.radius + roll(d, 2, 4);
    w->out->kind = "poles in a plate";
    place_soft(w, block_mm(2 * w->half_x + 6, 2 * half_y, thickness),
               mm(0, 0, bottom + thickness / 2));
    add_bar_below(w, -r.length, w->half_x + 2, half_y);
}

static inline void blade_with_bars(workshop *w)
{
    dice *d = w->d;
    const double half_x = roll(d, 10, 30), half_y = roll(d, 0.75, 2), height = roll(d, 11, 16);
    w->out->kind = "blade with bars";
    place_soft(w, block_mm(2 * half_x, 2 * half_y, height), mm(0, 0, -height / 2));
    w->half_x = half_x;
    w->half_y = half_y;
    add_bars(w, half_y, 2 * half_x * roll(d, 0.7, 1), -height);
}

static inline void ring_around_magnet(workshop *w)
{
    dice *d = w->d;
    const double radius = roll(d, 2, 4), length = roll(d, 8, 16), height = roll(d, 1.5, 5);
    w->out->kind = "ring around a magnet";
    w->out->gap_mm = roll_scale(d, 0.02, 2);
    const double inner = radius + w->out->gap_mm;
    place_soft(w, ring_mm(2 * inner + 2 * roll(d, 1.5, 5), 2 * inner, height),
               mm(0, 0, roll(d, bar_top_mm - length / 2, bar_top_mm - height / 2 - 0.1)));
    place_hard(w, rod_mm(2 * radius, length), mm(0, 0, -length / 2), ll_vec(0, 0, 1));
    w->half_x = w->half_y = radius;
}

static inline void rod_on_magnet(workshop *w)
{
    dice *d = w->d;
    const double radius = roll(d, 1.5, 3), length = roll(d, 9, 18), height = roll(d, 3, 10);
    w->out->kind = "rod on a magnet";
    w->out->gap_mm = roll_gap(d);
    place_soft(w, rod_mm(2 * radius, length), mm(0, 0, -length / 2));
    place_hard(w, rod_mm(2 * radius * roll(d, 0.8, 2.5), height),
               mm(0, 0, -length - w->out->gap_mm - height / 2), ll_vec(0, 0, 1));
    w->half_x = w->half_y = radius;
}

static inline void magnets_on_plate(workshop *w)
{
    dice *d = w->d;
    const int count = 1 + roll_int(d, 3);
    const double radius = roll(d, 2, 3), length = roll(d, 9, 18), thickness = roll(d, 1, 3);
    w->out->kind = "magnets on a plate";
    w->out->gap_mm = roll_gap(d);
    w->half_x = 0.5 * (count - 1) * pole_pitch_mm + radius;
    w->half_y = radius;
    place_soft(w, block_mm(2 * w->half_x + 6, 2 * radius + roll(d, 2, 8), thickness),
               mm(0, 0, -length - w->out->gap_mm - thickness / 2));
    for (int i = 0; i < count; i++)
        place_hard(w, rod_mm(2 * radius, length),
                   mm((i - 0.5 * (count - 1)) * pole_pitch_mm, 0, -length / 2),
                   ll_vec(0, 0, roll_int(d, 4) ? 1 : -1));
}

/* ---- readings ---- */

/* Around what stands, its ends rounded, between z = -6.5 and -3 mm. */
static inline void add_random_coil(workshop *w)
{
    const double clear = roll(w->d, 0.6, 1.5), half_x = w->half_x + clear,
                 half_y = w->half_y + clear;
    const ll_coil_shape shape = {2e-3 * half_x, 2e-3 * half_y, 1e-3 * half_y,
                                 1e-3 * roll(w->d, 2, 5), 3.5e-3};
    add_coil(w->out->scene, shape, mm(0, 0, -4.75), 5000);
    w->out->has_coil = true;
}

/* Distance to the nearest part, negative inside. */
static inline double distance_m(const ll_scene *scene, ll_vec3 at_m)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        least = fmin(least, -ll_shape_depth_m(&p->shape, ll_to_own(&p->pose, at_m)));
    }
    return least;
}

/* A point 0.5 to 8 mm from the nearest part, above, beside or below. */
static inline ll_vec3 roll_probe(dice *d, const ll_scene *scene)
{
    for (;;) {
        const ll_vec3 at = mm(roll(d, -35, 35), roll(d, -12, 12), roll(d, -25, 8));
        const double away = distance_m(scene, at);
        if (away >= 0.5e-3 && away <= 8e-3)
            return at;
    }
}

/* A piece of steel, and a height in the inner nine tenths of it. */
static inline void roll_section(dice *d, random_scene *s)
{
    const ll_part *p;
    do {
        s->section_part = (size_t)roll_int(d, (int)ll_scene_part_count(s->scene));
        p = ll_scene_part(s->scene, s->section_part);
    } while (ll_material_kind(p->material) == LL_MAGNET);
    s->section_z_m = p->pose.origin_m.z + p->shape.size_m.z * roll(d, -0.45, 0.45);
}

/* The scene of a seed; the caller frees its scene. */
static inline random_scene random_scene_new(uint64_t seed, const stock_room *stock)
{
    static void (*const build[])(workshop *) = {poles_with_bars, poles_over_bar,     poles_in_plate,
                                                blade_with_bars, ring_around_magnet, rod_on_magnet,
                                                magnets_on_plate};
    enum { KINDS = sizeof build / sizeof build[0] };
    dice d = {seed * 1000003};
    random_scene s = {.scene = new_scene()};
    workshop w = {&d, stock, &s, 0, 0};
    build[roll_int(&d, KINDS)](&w);
    if (roll_int(&d, 5) < 2)
        add_random_coil(&w);
    roll_section(&d, &s);
    for (int i = 0; i < PROBES; i++)
        s.probe_m[i] = roll_probe(&d, s.scene);
    return s;
}

#endif
