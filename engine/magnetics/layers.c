/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/layers.h"
#include "base/vectorised.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Patches of the target that are worked on together: their rows stay in the second-level cache. */
enum { BATCH = 32, ROWS = LL_TEST_POINTS * BATCH, MOST_LEVELS = 3 };
/* Beyond this many of its radii a panel is seen as three point charges: error below 1e-3 of what it adds there. */
static const double radii_apart = 3.5;

/* A target triangle, or a piece of one: test points in the source's frame and what each weighs for the three hats. */
typedef struct ll_patch {
    size_t triangle;
    ll_vec3 at[LL_TEST_POINTS];
    double weight[LL_TEST_POINTS][3];
} ll_patch;

typedef struct ll_patches {
    size_t count, room;
    ll_patch *patch;
} ll_patches;

/* Corners of a piece: where they are and their barycentric coordinates in the whole. */
typedef struct ll_piece {
    ll_vec3 at[3];
    double share[3][3];
} ll_piece;

static bool add_patch(ll_patches *list, size_t triangle, const ll_piece *piece, double area)
{
    if (list->count == list->room) {
        const size_t room = 2 * list->room + 256;
        ll_patch *patch = realloc(list->patch, room * sizeof *patch);
        if (!patch)
            return false;
        list->patch = patch;
        list->room = room;
    }
    ll_patch *out = &list->patch[list->count++];
    out->triangle = triangle;
    for (int p = 0; p < LL_TEST_POINTS; p++) {
        out->at[p] = ll_vec(0, 0, 0);
        memset(out->weight[p], 0, sizeof out->weight[p]);
        for (int c = 0; c < 3; c++) {
            const double f = ll_test_weight[p][c];
            out->at[p] = ll_add(out->at[p], ll_scale(f, piece->at[c]));
            for (int a = 0; a < 3; a++)
                out->weight[p][a] += area / LL_TEST_POINTS * f * piece->share[c][a];
        }
    }
    return true;
}

/* How often a triangle of some width is halved when the source is this near: until pieces are no wider than that. */
static int levels_for(double width, double distance)
{
    int levels = 0;
    while (levels < MOST_LEVELS && width > distance) {
        width /= 2;
        levels++;
    }
    return levels;
}

static ll_piece middle_piece(const ll_piece *whole, int corner)
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

static bool add_pieces(ll_patches *list, size_t triangle, const ll_piece *piece, double area,
                       int levels)
{
    if (levels == 0)
        return add_patch(list, triangle, piece, area);
    for (int k = 0; k < 4; k++) {
        const ll_piece quarter = middle_piece(piece, k);
        if (!add_pieces(list, triangle, &quarter, area / 4, levels - 1))
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

/* The target's triangles in the source's frame, cut up where the source is near. */
static bool list_patches(const ll_form *target, const ll_pose *tp, const ll_form *source,
                         const ll_pose *sp, bool cut, ll_patches *list)
{
    for (size_t t = 0; t < target->mesh->triangles; t++) {
        ll_piece whole = {.share = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
        ll_vec3 centre = {0, 0, 0};
        for (int k = 0; k < 3; k++) {
            const ll_vec3 own = target->mesh->node_m[target->mesh->triangle[t][k]];
            whole.at[k] = cut ? ll_to_own(sp, ll_to_world(tp, own)) : own;
            centre = ll_add(centre, ll_scale(1.0 / 3, whole.at[k]));
        }
        const double area = ll_panels_area(target->panels, t);
        const double width = sqrt(2 * area);
        const int levels = cut ? levels_for(width, distance_to(source, centre)) : 0;
        if (!add_pieces(list, t, &whole, area, levels))
            return false;
    }
    return true;
}

/* Coordinates and weights of a batch of patches, [point of the rule][patch]. */
typedef struct ll_batch {
    const ll_patch *patch;
    size_t count;
    ll_vec3 centre;
    double radius;
    double x[ROWS], y[ROWS], z[ROWS];
    double weight[LL_TEST_POINTS][3][BATCH];
} ll_batch;

static void load_batch(const ll_patch *patch, size_t count, ll_batch *b)
{
    b->patch = patch;
    b->count = count;
    b->centre = ll_vec(0, 0, 0);
    b->radius = 0;
    for (size_t t = 0; t < count; t++)
        b->centre = ll_add(b->centre, ll_scale(1 / (double)count, patch[t].at[0]));
    for (size_t t = 0; t < count; t++)
        for (size_t p = 0; p < LL_TEST_POINTS; p++) {
            const ll_vec3 at = patch[t].at[p];
            b->x[p * count + t] = at.x;
            b->y[p * count + t] = at.y;
            b->z[p * count + t] = at.z;
            b->radius = fmax(b->radius, ll_norm(ll_sub(at, b->centre)));
            for (int a = 0; a < 3; a++)
                b->weight[p][a][t] = patch[t].weight[p][a];
        }
}

/* column[a][t] += the layer v[p][t] tested with the hat of corner a. */
static inline void test_column(const ll_batch *b, const double *v, double *column)
{
    const size_t n = b->count;
    for (size_t a = 0; a < 3; a++)
#pragma omp simd
        for (size_t t = 0; t < n; t++)
            column[a * n + t] += b->weight[0][a][t] * v[t] + b->weight[1][a][t] * v[n + t] +
                                 b->weight[2][a][t] * v[2 * n + t];
}

LL_VECTORISED
static void couple_batch(const ll_form *source, const ll_batch *b, double contact_m, double *charge,
                         double *dipole)
{
    const size_t rows = LL_TEST_POINTS * b->count;
    double s[3 * ROWS], d[3 * ROWS];
    memset(charge, 0, source->mesh->corners * rows * sizeof *charge);
    memset(dipole, 0, source->mesh->surface_nodes * rows * sizeof *dipole);
    for (size_t j = 0; j < source->mesh->triangles; j++) {
        const double radius = ll_panels_radius(source->panels, j);
        const double clear =
            ll_norm(ll_sub(ll_panels_centre(source->panels, j), b->centre)) - b->radius;
        if (clear > radii_apart * radius)
            ll_panel_potentials_afar(source->panels, j, rows, b->x, b->y, b->z, s, d);
        else
            ll_panel_potentials(source->panels, j, contact_m, rows, b->x, b->y, b->z, s, d);
        for (int k = 0; k < 3; k++) {
            test_column(b, s + (size_t)k * rows,
                        charge + rows * (size_t)source->mesh->corner[j][k]);
            test_column(b, d + (size_t)k * rows,
                        dipole + rows * (size_t)source->mesh->triangle[j][k]);
        }
    }
}

/* Adds the batch's columns to the rows of its corners, a few columns at a time so that they stay in the cache. */
static void add_rows(const ll_form *target, const ll_batch *b, const double *columns, size_t width,
                     double *matrix)
{
    enum { STRIP = 16 };
    const size_t n = b->count;
    for (size_t strip = 0; strip < width; strip += STRIP) {
        const size_t last = strip + STRIP < width ? strip + STRIP : width;
        for (size_t a = 0; a < 3; a++)
            for (size_t t = 0; t < n; t++) {
                double *row =
                    matrix + width * (size_t)target->mesh->corner[b->patch[t].triangle][a];
                for (size_t j = strip; j < last; j++)
                    row[j] += columns[(j * 3 + a) * n + t];
            }
    }
}

static bool couple_patches(const ll_form *target, const ll_patches *list, const ll_form *source,
                           double contact_m, double *single, double *dbl)
{
    const size_t nc = source->mesh->corners, ns = source->mesh->surface_nodes;
    bool fits = true;
#pragma omp parallel
    {
        double *columns = malloc(ROWS * (nc + ns) * sizeof *columns);
        ll_batch *b = malloc(sizeof *b);
        if (!columns || !b) {
#pragma omp atomic write
            fits = false;
        }
#pragma omp for schedule(dynamic)
        for (size_t first = 0; first < list->count; first += BATCH) {
            if (!columns || !b)
                continue;
            const size_t left = list->count - first;
            load_batch(list->patch + first, left < BATCH ? left : BATCH, b);
            couple_batch(source, b, contact_m, columns, columns + ROWS * nc);
#pragma omp critical(ll_layers_rows)
            {
                add_rows(target, b, columns, nc, single);
                add_rows(target, b, columns + ROWS * nc, ns, dbl);
            }
        }
        free(columns);
        free(b);
    }
    return fits;
}

ll_status ll_layers_test(const ll_form *target, const ll_pose *target_pose, const ll_form *source,
                         const ll_pose *source_pose, double contact_m, double *single, double *dbl)
{
    const size_t rows = target->mesh->corners;
    ll_patches list = {0, 0, NULL};
    memset(single, 0, rows * source->mesh->corners * sizeof *single);
    memset(dbl, 0, rows * source->mesh->surface_nodes * sizeof *dbl);
    const bool fits =
        list_patches(target, target_pose, source, source_pose, contact_m > 0, &list) &&
        couple_patches(target, &list, source, contact_m, single, dbl);
    free(list.patch);
    return fits ? LL_OK : LL_NO_MEMORY;
}
