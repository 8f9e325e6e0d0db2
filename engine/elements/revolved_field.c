/* The field of a body of revolution outside: sums over rings of its densities, with more rings and more points on each the nearer
 * the place is. SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/vectorised.h"
#include "elements/revolved_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TURN_MOST = 1024 };

/* A ring as seen from the place, whose angle is zero: densities at `count` equal angles, and the ring's weight in one of them. */
typedef struct ll_dense_ring {
    double r, z, n_r, n_z, weight;
    int count;
    const double *cosine, *sine;
    double charge[TURN_MOST], dipole[TURN_MOST];
} ll_dense_ring;

typedef struct ll_sums {
    double potential, x, y, z;
} ll_sums;

/* Potential and H at (r, 0, z) of charges and of dipoles along the normal. */
static LL_VECTORISED(add_ring, (const ll_dense_ring *ring, double r, double z, ll_sums *sums),
                     (ring, r, z, sums))
{
    double potential = 0, hx = 0, hy = 0, hz = 0;
    const double dz = z - ring->z;
#pragma omp simd reduction(+ : potential, hx, hy, hz)
    for (int k = 0; k < ring->count; k++) {
        const double c = ring->cosine[k], s = ring->sine[k];
        const double dx = r - ring->r * c, dy = -ring->r * s;
        const double inverse = 1 / sqrt(dx * dx + dy * dy + dz * dz), square = inverse * inverse;
        const double cube = inverse * square;
        const double nx = ring->n_r * c, ny = ring->n_r * s, nz = ring->n_z;
        const double facing = nx * dx + ny * dy + nz * dz;
        const double along = (ring->charge[k] + 3 * ring->dipole[k] * facing * square) * cube;
        const double across = ring->dipole[k] * cube;
        potential += ring->charge[k] * inverse + across * facing;
        hx += along * dx - across * nx;
        hy += along * dy - across * ny;
        hz += along * dz - across * nz;
    }
    sums->potential += ring->weight * potential;
    sums->x += ring->weight * hx;
    sums->y += ring->weight * hy;
    sums->z += ring->weight * hz;
}

/* Coefficients of both densities' waves at a point of a side, turned so that the place's angle is zero: cosines and
 * sines of each m. */
typedef struct ll_ring_waves {
    double charge[2][LL_HARMONIC_MOST + 1], dipole[2][LL_HARMONIC_MOST + 1];
} ll_ring_waves;

/* The place: its distance from the axis, height, and waves of its angle. */
typedef struct ll_place {
    double r, z, cosine[LL_HARMONIC_MOST + 1], sine[LL_HARMONIC_MOST + 1];
} ll_place;

static void add_wave(const ll_revolved *f, const ll_wave *wave, const ll_side *side, size_t k,
                     const double *layer, const double *shape, const double *charge,
                     const ll_place *place, ll_ring_waves *out)
{
    const ll_taking_part *part = ll_part_of(f, wave->m);
    const int degree = f->meridian.degree;
    const double *own = layer + wave->layer;
    double dipole = 0, sum = 0;
    for (int j = 0; j <= degree; j++) {
        const int at = part->at_outline[side->unknown[j]];
        dipole += at < 0 ? 0 : shape[j] * own[at];
    }
    for (int c = 0; c < degree; c++)
        sum += charge[c] * own[part->outline + (int)k * degree + c];
    /* cos m (phi + angle) = cos m phi cos m angle - sin m phi sin m angle. */
    const double turn_c = place->cosine[wave->m], turn_s = place->sine[wave->m];
    const double to_c = wave->sine ? turn_s : turn_c, to_s = wave->sine ? turn_c : -turn_s;
    out->charge[0][wave->m] += to_c * sum;
    out->charge[1][wave->m] += to_s * sum;
    out->dipole[0][wave->m] += to_c * dipole;
    out->dipole[1][wave->m] += to_s * dipole;
}

/* Numbers of angles, each with its cosines and sines in the form's table. */
static const int turns[] = {8,  12, 16,  20,  24,  32,  40,  48,  64,
                            80, 96, 128, 192, 256, 384, 512, 768, TURN_MOST};
enum { TURNS = sizeof turns / sizeof *turns };

ll_status ll_revolved_prepare_field(ll_revolved *f)
{
    size_t all = 0;
    for (int t = 0; t < TURNS; t++)
        all += 2 * (size_t)turns[t];
    double *next = f->turn_table = malloc(all * sizeof *f->turn_table);
    for (int t = 0; next && t < TURNS; next += 2 * turns[t++])
        for (int k = 0; k < turns[t]; k++) {
            const double angle = 2 * LL_PI * (k + 0.5) / turns[t];
            next[k] = cos(angle);
            next[turns[t] + k] = sin(angle);
        }
    return f->turn_table ? LL_OK : LL_NO_MEMORY;
}

/* Angles at which the sum over a ring is exact enough: it converges by e^(-acosh chi) for each. */
static double angles_for(const ll_revolved *f, double ring_r, double ring_z, const ll_place *place)
{
    const int least = 2 * f->harmonics + 6;
    const double across = place->r - ring_r, along = place->z - ring_z;
    const double d = across * across + along * along;
    if (place->r * ring_r < 1e-9 * d)
        return least;
    return 11 / acosh(1 + d / (2 * place->r * ring_r)) + least;
}

static void choose_turn(const ll_revolved *f, double wanted, ll_dense_ring *ring)
{
    const double *table = f->turn_table;
    int t = 0;
    for (; t < TURNS - 1 && turns[t] < wanted; t++)
        table += 2 * turns[t];
    ring->count = turns[t];
    ring->cosine = table;
    ring->sine = table + turns[t];
}

static LL_VECTORISED(fill_ring, (int harmonics, const ll_ring_waves *waves, ll_dense_ring *ring),
                     (harmonics, waves, ring))
{
    double wave_c[TURN_MOST], wave_s[TURN_MOST];
    for (int k = 0; k < ring->count; k++) {
        wave_c[k] = ring->cosine[k];
        wave_s[k] = ring->sine[k];
        ring->charge[k] = waves->charge[0][0];
        ring->dipole[k] = waves->dipole[0][0];
    }
    for (int m = 1; m <= harmonics; m++)
        for (int k = 0; k < ring->count; k++) {
            const double c = wave_c[k], s = wave_s[k];
            ring->charge[k] += waves->charge[0][m] * c + waves->charge[1][m] * s;
            ring->dipole[k] += waves->dipole[0][m] * c + waves->dipole[1][m] * s;
            wave_c[k] = c * ring->cosine[k] - s * ring->sine[k];
            wave_s[k] = s * ring->cosine[k] + c * ring->sine[k];
        }
}

/* One point of a side. */
static void add_point(const ll_revolved *f, const double *layer, size_t k, double at, double weight,
                      const ll_place *place, ll_sums *sums)
{
    const ll_side *side = &f->meridian.side[k];
    const double u = 0.5 * (1 + at);
    ll_dense_ring ring;
    ring.r = side->r[0] + u * (side->r[1] - side->r[0]);
    ring.z = side->z[0] + u * (side->z[1] - side->z[0]);
    ring.n_r = side->n_r;
    ring.n_z = side->n_z;
    choose_turn(f, angles_for(f, ring.r, ring.z, place), &ring);
    ring.weight = weight * ring.r / (2 * ring.count);
    double shape[LL_DEGREE_MOST + 1], slope[LL_DEGREE_MOST + 1], charge[LL_DEGREE_MOST + 1];
    ll_shapes(f->meridian.degree, at, shape, slope);
    ll_legendre(f->meridian.degree, at, charge);
    ll_ring_waves waves;
    memset(&waves, 0, sizeof waves);
    for (int v = 0; v < f->waves; v++)
        add_wave(f, &f->wave[v], side, k, layer, shape, charge, place, &waves);
    fill_ring(f->harmonics, &waves, &ring);
    add_ring(&ring, place->r, place->z, sums);
}

static ll_place place_of(const ll_revolved *f, ll_vec3 own_m)
{
    const double angle = atan2(own_m.y, own_m.x);
    ll_place place = {.r = hypot(own_m.x, own_m.y), .z = own_m.z};
    for (int m = 0; m <= f->harmonics; m++) {
        place.cosine[m] = cos(m * angle);
        place.sine[m] = sin(m * angle);
    }
    return place;
}

void ll_revolved_add_field(const ll_body_form *form, const double *layer, size_t n,
                           const ll_vec3 *own_m, double *potential_a, ll_vec3 *h_a_m)
{
    const ll_revolved *f = ll_revolved_of(form);
    double at[LL_SIDE_POINTS], weight[LL_SIDE_POINTS];
    for (size_t i = 0; i < n; i++) {
        const double angle = atan2(own_m[i].y, own_m[i].x), c = cos(angle), s = sin(angle);
        const ll_place place = place_of(f, own_m[i]);
        ll_sums sums = {0, 0, 0, 0};
        for (size_t k = 0; k < f->meridian.sides; k++) {
            const int count =
                ll_side_points(&f->rules, &f->meridian.side[k], place.r, place.z, at, weight);
            for (int q = 0; q < count; q++)
                add_point(f, layer, k, at[q], weight[q], &place, &sums);
        }
        if (potential_a)
            potential_a[i] += sums.potential;
        if (h_a_m)
            h_a_m[i] =
                ll_add(h_a_m[i], ll_vec(c * sums.x - s * sums.y, s * sums.x + c * sums.y, sums.z));
    }
}
