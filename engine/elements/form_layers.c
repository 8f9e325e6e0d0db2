/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/form_layers.h"
#include "base/vectorised.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Target triangles that are worked on together: their rows stay in the second-level cache. */
enum { BATCH = 32, POINTS = LL_TEST_POINTS * BATCH, MOST_LEVELS = 2 };
/* Beyond this many of its radii a panel is seen as three point charges: error below 1e-3 of what it adds there. */
static const double radii_apart = 3.5;

/* A target triangle, or a piece of one: test points in the source's frame and what each weighs for the three hats. */
typedef struct ll_patch {
    size_t triangle; /* within the batch */
    ll_vec3 at[LL_TEST_POINTS];
    double weight[LL_TEST_POINTS][3];
} ll_patch;

/* Corners of a piece: where they are and their barycentric coordinates in the whole. */
typedef struct ll_piece {
    ll_vec3 at[3];
    double share[3][3];
} ll_piece;

/* Some patches, [point of the rule][patch]. */
typedef struct ll_points {
    size_t count;
    size_t triangle[BATCH];
    double x[POINTS], y[POINTS], z[POINTS];
    double weight[LL_TEST_POINTS][3][BATCH];
} ll_points;

/* Target triangles near each other: whole for what is far, cut up into `pieces` groups of patches for what is near. */
typedef struct ll_batch {
    size_t first, count;
    ll_vec3 centre;
    double radius;
    ll_points whole;
    size_t pieces, room;
    ll_points *piece;
} ll_batch;

static ll_patch patch_of(size_t triangle, const ll_piece *piece, double area)
{
    ll_patch out = {.triangle = triangle};
    for (int p = 0; p < LL_TEST_POINTS; p++)
        for (int c = 0; c < 3; c++) {
            const double f = ll_test_weight[p][c];
            out.at[p] = ll_add(out.at[p], ll_scale(f, piece->at[c]));
            for (int a = 0; a < 3; a++)
                out.weight[p][a] += area / LL_TEST_POINTS * f * piece->share[c][a];
        }
    return out;
}

/* There is room for BATCH patches. */
static void put_patch(ll_points *points, const ll_patch *patch)
{
    const size_t t = points->count++;
    points->triangle[t] = patch->triangle;
    for (int p = 0; p < LL_TEST_POINTS; p++) {
        points->x[p * BATCH + t] = patch->at[p].x;
        points->y[p * BATCH + t] = patch->at[p].y;
        points->z[p * BATCH + t] = patch->at[p].z;
        for (int a = 0; a < 3; a++)
            points->weight[p][a][t] = patch->weight[p][a];
    }
}

/* Unused places of a part-filled group repeat its first point with no weight. */
static void fill_up(ll_points *points)
{
    for (size_t t = points->count; t < BATCH; t++) {
        points->triangle[t] = 0;
        for (int p = 0; p < LL_TEST_POINTS; p++) {
            points->x[p * BATCH + t] = points->x[0];
            points->y[p * BATCH + t] = points->y[0];
            points->z[p * BATCH + t] = points->z[0];
            for (int a = 0; a < 3; a++)
                points->weight[p][a][t] = 0;
        }
    }
}

static bool add_patch(ll_batch *b, const ll_patch *patch)
{
    if (b->pieces == 0 || b->piece[b->pieces - 1].count == BATCH) {
        if (b->pieces == b->room) {
            const size_t room = 2 * b->room + 4;
            ll_points *piece = realloc(b->piece, room * sizeof *piece);
            if (!piece)
                return false;
            b->piece = piece;
            b->room = room;
        }
        b->piece[b->pieces++].count = 0;
    }
    put_patch(&b->piece[b->pieces - 1], patch);
    return true;
}

static ll_piece quarter_of(const ll_piece *whole, int corner)
{
    /* corner 0 to 2: the piece at that corner; 3: the one in the middle. */
    ll_piece out = *whole;
    for (int c = 0; c < 3; c++) {
        const int from = corner < 3 ? corner : (c + 1) % 3, to = corner < 3 ? c : (c + 2) % 3;
        out.at[c] = ll_scale(0.5, ll_add(whole->at[from], whole->at[to]));
        for (int a = 0; a < 3; a++)
            out.share[c][a] = 0.5 * (whole->share[from][a] + whole->share[to][a]);
    }
    return out;
}

static bool add_pieces(ll_batch *b, size_t triangle, const ll_piece *piece, double area, int levels)
{
    if (levels == 0) {
        const ll_patch patch = patch_of(triangle, piece, area);
        return add_patch(b, &patch);
    }
    for (int k = 0; k < 4; k++) {
        const ll_piece quarter = quarter_of(piece, k);
        if (!add_pieces(b, triangle, &quarter, area / 4, levels - 1))
            return false;
    }
    return true;
}

/* Distance from a point to the source's surface, judged by its unknowns' centres less their widths. */
static double distance_to(const ll_form *source, ll_vec3 at)
{
    double nearest = HUGE_VAL;
    for (size_t i = 0; i < source->charge.count; i++)
        nearest = fmin(nearest, ll_norm(ll_sub(at, source->charge.at_m[i])) -
                                    0.5 * sqrt(source->charge.weight[i]));
    return fmax(nearest, 0);
}

/* How often a triangle is halved: until pieces are no wider than their distance from the source. */
static int levels_for(double width, double distance)
{
    int levels = 0;
    while (levels < MOST_LEVELS && width > distance) {
        width /= 2;
        levels++;
    }
    return levels;
}

/* What couples to what: the target's frame seen from the source's. */
typedef struct ll_pair {
    const ll_form *target, *source;
    const ll_pose *target_pose, *source_pose;
    double contact_m;
} ll_pair;

static ll_piece whole_triangle(const ll_pair *pair, size_t t, ll_vec3 *centre)
{
    const ll_mesh *mesh = pair->target->mesh;
    ll_piece whole = {.share = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
    *centre = ll_vec(0, 0, 0);
    for (int k = 0; k < 3; k++) {
        const ll_vec3 own = mesh->node_m[mesh->triangle[t][k]];
        whole.at[k] = pair->contact_m > 0
                          ? ll_to_own(pair->source_pose, ll_to_world(pair->target_pose, own))
                          : own;
        *centre = ll_add(*centre, ll_scale(1.0 / 3, whole.at[k]));
    }
    return whole;
}

static void enclose(ll_batch *b)
{
    const ll_points *w = &b->whole;
    b->centre = ll_vec(0, 0, 0);
    b->radius = 0;
    for (size_t k = 0; k < POINTS; k++)
        b->centre = ll_add(b->centre, ll_scale(1.0 / POINTS, ll_vec(w->x[k], w->y[k], w->z[k])));
    for (size_t k = 0; k < POINTS; k++)
        b->radius = fmax(b->radius, ll_norm(ll_sub(ll_vec(w->x[k], w->y[k], w->z[k]), b->centre)));
}

static bool load_batch(const ll_pair *pair, size_t first, ll_batch *b)
{
    const size_t left = pair->target->mesh->triangles - first;
    b->first = first;
    b->count = left < BATCH ? left : BATCH;
    b->whole.count = b->pieces = 0;
    for (size_t t = 0; t < b->count; t++) {
        ll_vec3 centre;
        const double area = ll_panels_area(pair->target->panels, first + t);
        const ll_piece whole = whole_triangle(pair, first + t, &centre);
        const ll_patch patch = patch_of(t, &whole, area);
        const int levels =
            pair->contact_m > 0 ? levels_for(sqrt(2 * area), distance_to(pair->source, centre)) : 0;
        put_patch(&b->whole, &patch);
        if (!add_pieces(b, t, &whole, area, levels))
            return false;
    }
    fill_up(&b->whole);
    fill_up(&b->piece[b->pieces - 1]);
    enclose(b);
    return true;
}

/* The layer v[p][t] tested with the hat of corner a in each patch. */
static inline void test_patches(const ll_points *q, const double *v, size_t a, double *sum)
{
#pragma omp simd
    for (size_t t = 0; t < BATCH; t++)
        sum[t] = q->weight[0][a][t] * v[t] + q->weight[1][a][t] * v[BATCH + t] +
                 q->weight[2][a][t] * v[2 * BATCH + t];
}

/* column[a][t] += what the patches of triangle t give. */
static inline void test_column(const ll_points *q, bool whole, const double *v, double *column)
{
    double sum[BATCH];
    for (size_t a = 0; a < 3; a++, column += BATCH) {
        test_patches(q, v, a, sum);
        if (whole)
#pragma omp simd
            for (size_t t = 0; t < BATCH; t++)
                column[t] += sum[t];
        else
            for (size_t t = 0; t < q->count; t++)
                column[q->triangle[t]] += sum[t];
    }
}

/* The columns of panel j's corners and nodes, from its layers at the points. */
static inline void add_panel(const ll_form *source, size_t j, const ll_points *q, bool whole,
                             const double *s, const double *d, double *charge, double *dipole)
{
    for (size_t k = 0; k < 3; k++) {
        test_column(q, whole, s + k * POINTS, charge + POINTS * (size_t)source->mesh->corner[j][k]);
        test_column(q, whole, d + k * POINTS,
                    dipole + POINTS * (size_t)source->mesh->triangle[j][k]);
    }
}

static LL_VECTORISED(couple_batch,
                     (const ll_pair *pair, const ll_batch *b, double *charge, double *dipole),
                     (pair, b, charge, dipole))
{
    const ll_form *source = pair->source;
    const ll_points *w = &b->whole;
    double s[3 * POINTS], d[3 * POINTS];
    memset(charge, 0, source->mesh->corners * POINTS * sizeof *charge);
    memset(dipole, 0, source->mesh->surface_nodes * POINTS * sizeof *dipole);
    for (size_t j = 0; j < source->mesh->triangles; j++) {
        const double clear =
            ll_norm(ll_sub(ll_panels_centre(source->panels, j), b->centre)) - b->radius;
        if (clear > radii_apart * ll_panels_radius(source->panels, j)) {
            ll_panel_potentials_afar(source->panels, j, POINTS, w->x, w->y, w->z, s, d);
            add_panel(source, j, w, true, s, d, charge, dipole);
            continue;
        }
        for (size_t k = 0; k < b->pieces; k++) {
            const ll_points *q = &b->piece[k];
            ll_panel_potentials(source->panels, j, pair->contact_m, POINTS, q->x, q->y, q->z, s, d);
            add_panel(source, j, q, false, s, d, charge, dipole);
        }
    }
}

/* Adds the batch's columns to the rows of its corners, a few columns at a time so that they stay in the cache. */
static void add_rows(const ll_form *target, const ll_batch *b, const double *columns, size_t width,
                     double *matrix)
{
    enum { STRIP = 16 };
    for (size_t strip = 0; strip < width; strip += STRIP) {
        const size_t last = strip + STRIP < width ? strip + STRIP : width;
        for (size_t a = 0; a < 3; a++)
            for (size_t t = 0; t < b->count; t++) {
                double *row = matrix + width * (size_t)target->mesh->corner[b->first + t][a];
                for (size_t j = strip; j < last; j++)
                    row[j] += columns[j * POINTS + a * BATCH + t];
            }
    }
}

static bool couple_all(const ll_pair *pair, double *single, double *dbl)
{
    const size_t nc = pair->source->mesh->corners, ns = pair->source->mesh->surface_nodes;
    bool fits = true;
#pragma omp parallel
    {
        double *columns = malloc(POINTS * (nc + ns) * sizeof *columns);
        ll_batch *b = calloc(1, sizeof *b);
        bool mine = columns && b;
#pragma omp for ordered schedule(dynamic)
        for (size_t first = 0; first < pair->target->mesh->triangles; first += BATCH) {
            mine = mine && load_batch(pair, first, b);
            if (!mine)
                continue;
            couple_batch(pair, b, columns, columns + POINTS * nc);
#pragma omp ordered /* a sum's digits depend on its order */
            {
                add_rows(pair->target, b, columns, nc, single);
                add_rows(pair->target, b, columns + POINTS * nc, ns, dbl);
            }
        }
        if (!mine) {
#pragma omp atomic write
            fits = false;
        }
        if (b)
            free(b->piece);
        free(b);
        free(columns);
    }
    return fits;
}

ll_status ll_layers_test(const ll_form *target, const ll_pose *target_pose, const ll_form *source,
                         const ll_pose *source_pose, double contact_m, double *single, double *dbl)
{
    const ll_pair pair = {target, source, target_pose, source_pose, contact_m};
    const size_t rows = target->mesh->corners;
    memset(single, 0, rows * source->mesh->corners * sizeof *single);
    memset(dbl, 0, rows * source->mesh->surface_nodes * sizeof *dbl);
    return couple_all(&pair, single, dbl) ? LL_OK : LL_NO_MEMORY;
}
