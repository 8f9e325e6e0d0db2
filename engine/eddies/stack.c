/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/stack.h"
#include "base/constants.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Nearer to the axis than this a part stands on it, and nearer to each other than this two breaks are one. */
static const double same_place_m = 1e-7;

/* ---- what stands on the axis ---- */

static bool matters(const ll_part *part)
{
    return ll_material_mu_r(part->material) > 1 + 1e-9 ||
           ll_material_conductivity_s_m(part->material) > 0;
}

static ll_vec3 axis_of(const ll_pose *pose)
{
    const double(*m)[3] = pose->rotation.m;
    return ll_vec(m[0][2], m[1][2], m[2][2]);
}

/* Whether the z axes of two poses are one line. */
static bool is_on(const ll_pose *axis, const ll_pose *pose)
{
    const ll_vec3 own = ll_rotate_back(&axis->rotation, axis_of(pose));
    const ll_vec3 at = ll_to_own(axis, pose->origin_m);
    return hypot(own.x, own.y) < 1e-7 && hypot(at.x, at.y) < same_place_m;
}

static bool is_round(const ll_coil_shape *s)
{
    const double half = 0.5 * s->opening_x_m;
    return fabs(s->opening_y_m - s->opening_x_m) < 1e-6 * half &&
           fabs(s->corner_m - half) < 1e-6 * half;
}

static bool coils_are_on(const ll_scene *scene, const ll_pose *axis)
{
    for (size_t i = 0; i < ll_scene_coil_count(scene); i++) {
        const ll_coil *c = ll_scene_coil(scene, i);
        if (!is_round(&c->shape) || !is_on(axis, &c->pose))
            return false;
    }
    return ll_scene_coil_count(scene) > 0;
}

bool ll_stack_find(const ll_scene *scene, ll_pose *axis)
{
    const ll_part *first = NULL;
    bool conducts = false;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        if (!matters(p))
            continue;
        first = first ? first : p;
        if (p->shape.kind == LL_BLOCK || !is_on(&first->pose, &p->pose))
            return false;
        conducts = conducts || ll_material_conductivity_s_m(p->material) > 0;
    }
    if (!conducts || !coils_are_on(scene, &first->pose))
        return false;
    *axis = first->pose;
    return true;
}

/* ---- rectangles ---- */

/* What a stretch of breaks is cut for. */
typedef struct ll_piece {
    ll_rectangle at;
    double depth_m; /* skin depth at the highest frequency; HUGE_VAL where nothing conducts */
} ll_piece;

/* A rectangle from low to high of a part's own z, in the axis' frame. */
static void add_rectangle(const ll_pose *axis, const ll_part *p, size_t part, double inner,
                          double outer, double low, double high, ll_piece *out)
{
    const double a = ll_to_own(axis, ll_to_world(&p->pose, ll_vec(0, 0, low))).z;
    const double b = ll_to_own(axis, ll_to_world(&p->pose, ll_vec(0, 0, high))).z;
    const double highest_hz = 20e3, sigma = ll_material_conductivity_s_m(p->material);
    out->at = (ll_rectangle){{inner, outer}, {fmin(a, b), fmax(a, b)}, part};
    out->depth_m =
        sigma > 0 ? sqrt(1 / (LL_PI * highest_hz * LL_MU0 * ll_material_mu_r(p->material) * sigma))
                  : HUGE_VAL;
}

/* A screw is two rectangles. */
static size_t find_pieces(const ll_scene *scene, const ll_pose *axis, ll_piece *piece)
{
    size_t n = 0;
    for (size_t i = 0; i < ll_scene_part_count(scene); i++) {
        const ll_part *p = ll_scene_part(scene, i);
        const ll_shape *s = &p->shape;
        const double half = 0.5 * s->size_m.z;
        if (!matters(p))
            continue;
        if (s->kind != LL_SCREW) {
            add_rectangle(axis, p, i, s->inner_radius_m, s->radius_m, -half, half, &piece[n++]);
            continue;
        }
        const double neck = half - s->head_height_m;
        add_rectangle(axis, p, i, 0, s->radius_m, -half, neck, &piece[n++]);
        add_rectangle(axis, p, i, 0, s->head_radius_m, neck, half, &piece[n++]);
    }
    return n;
}

/* ---- breaks ---- */

enum { MOST_BREAKS = 400, MOST_LAYERS = 24, MOST_CELLS = 700 };
static const double growth = 2.5;

typedef struct ll_row {
    size_t count;
    double at[MOST_BREAKS];
} ll_row;

static void add_break(ll_row *row, double at)
{
    if (row->count < MOST_BREAKS)
        row->at[row->count++] = at;
}

/* The first layer at both ends of a stretch; 0 at the axis, where nothing is singular. */
typedef struct ll_firsts {
    double low, high;
} ll_firsts;

/* Layers from the ends, the finer first, until what is left is not much longer than the next. */
static void add_layers(ll_row *row, double low, double high, ll_firsts step)
{
    const bool both = step.low > 0;
    double down[MOST_LAYERS], at_low = low, at_high = high;
    int upper = 0;
    for (int k = 0; k < MOST_LAYERS; k++) {
        const double next = both ? fmin(step.low, step.high) : step.high;
        if (at_high - at_low <= next * (both ? 2.6 : 1.6))
            break;
        if (both && step.low <= step.high) {
            at_low += step.low;
            step.low *= growth;
            add_break(row, at_low);
        } else {
            at_high -= step.high;
            step.high *= growth;
            down[upper++] = at_high;
        }
    }
    const double next = both ? fmin(step.low, step.high) : step.high;
    const int middle = (int)fmax(1, ceil((at_high - at_low) / next / 1.6 - 1e-9));
    for (int k = 1; k < middle; k++)
        add_break(row, at_low + (at_high - at_low) * k / middle);
    while (upper > 0)
        add_break(row, down[--upper]);
    add_break(row, high);
}

/* All that the breaks are to know. */
typedef struct ll_outlines {
    size_t pieces, windings;
    const ll_piece *piece;
    const ll_rectangle *winding;
} ll_outlines;

static double end_of(const ll_rectangle *p, bool along_z, int end)
{
    return along_z ? p->z[end] : p->r[end];
}

/* The layer that the pieces over the middle of a stretch want; 0 for air. */
static double layer_of(const ll_outlines *o, bool along_z, double middle, double coarseness)
{
    double least = 0;
    for (size_t k = 0; k < o->pieces; k++)
        if (end_of(&o->piece[k].at, along_z, 0) < middle &&
            middle < end_of(&o->piece[k].at, along_z, 1)) {
            const double own = 1.5 * coarseness * o->piece[k].depth_m;
            least = least > 0 ? fmin(least, own) : own;
        }
    return least;
}

/* Places where a row is cut in any case: ends of pieces, and ends of windings that come so near that their field changes within
 * a gap's length beside them. */
typedef struct ll_ends {
    size_t count;
    double at[MOST_BREAKS], gap_m[MOST_BREAKS]; /* of a winding; 0 at the end of a piece */
} ll_ends;

/* In rising order; of two in one place the piece's stays, and a winding nearer to another end than half its gap is left out. */
static void add_end(ll_ends *ends, double at, double gap_m)
{
    size_t k = 0;
    for (size_t i = 0; i < ends->count; i++) {
        if (fabs(ends->at[i] - at) < fmax(same_place_m, 0.5 * gap_m))
            return;
        k += ends->at[i] < at;
    }
    if (ends->count == MOST_BREAKS)
        return;
    for (size_t i = ends->count++; i > k; i--) {
        ends->at[i] = ends->at[i - 1];
        ends->gap_m[i] = ends->gap_m[i - 1];
    }
    ends->at[k] = at;
    ends->gap_m[k] = gap_m;
}

/* How far a winding is from a piece, in the half plane. */
static double gap_between(const ll_rectangle *p, const ll_rectangle *q)
{
    const double dr = fmax(0, fmax(q->r[0] - p->r[1], p->r[0] - q->r[1]));
    const double dz = fmax(0, fmax(q->z[0] - p->z[1], p->z[0] - q->z[1]));
    return hypot(dr, dz);
}

static void find_ends(const ll_outlines *o, bool along_z, ll_ends *ends)
{
    const double near = 0.25, least_m = 0.1e-3;
    ends->count = 0;
    if (!along_z)
        add_end(ends, 0, 0);
    for (size_t k = 0; k < o->pieces; k++)
        for (int end = 0; end < 2; end++)
            add_end(ends, end_of(&o->piece[k].at, along_z, end), 0);
    for (size_t k = 0; k < o->pieces; k++)
        for (size_t c = 0; c < o->windings; c++) {
            const ll_rectangle *p = &o->piece[k].at, *w = &o->winding[c];
            const double low = end_of(p, along_z, 0), high = end_of(p, along_z, 1);
            const double gap = fmax(least_m, gap_between(p, w));
            for (int end = 0; end < 2 && gap < near * (high - low); end++)
                if (end_of(w, along_z, end) > low && end_of(w, along_z, end) < high)
                    add_end(ends, end_of(w, along_z, end), gap);
        }
}

static void find_breaks(const ll_outlines *o, bool along_z, double coarseness, ll_ends *ends,
                        ll_row *row)
{
    const double edge = 0.06, least_m = 0.02e-3;
    find_ends(o, along_z, ends);
    row->count = 0;
    add_break(row, ends->at[0]);
    for (size_t k = 0; k + 1 < ends->count; k++) {
        const double low = ends->at[k], high = ends->at[k + 1], length = high - low;
        double first = layer_of(o, along_z, 0.5 * (low + high), coarseness);
        if (first > 0)
            first = fmin(first, fmax(edge * length, least_m) * coarseness);
        const double *gap = ends->gap_m + k;
        const bool on_axis = !along_z && low == 0;
        const ll_firsts firsts = {on_axis      ? 0
                                  : gap[0] > 0 ? gap[0]
                                               : first,
                                  gap[1] > 0 ? gap[1] : first};
        if (first == 0 || length < firsts.high)
            add_break(row, high);
        else
            add_layers(row, low, high, firsts);
    }
}

/* Coarser until the cells are few enough. */
static ll_status cut(const ll_outlines *o, int degree, ll_meridian *out)
{
    ll_rectangle *rectangle = malloc((o->pieces + 1) * sizeof *rectangle);
    ll_row *row = malloc(2 * sizeof *row);
    ll_ends *ends = malloc(sizeof *ends);
    ll_status status = rectangle && row && ends ? LL_TOO_BIG : LL_NO_MEMORY;
    for (size_t k = 0; k < o->pieces && rectangle; k++)
        rectangle[k] = o->piece[k].at;
    for (double coarseness = 1; status == LL_TOO_BIG && coarseness < 4; coarseness *= 1.5) {
        find_breaks(o, false, coarseness, ends, &row[0]);
        find_breaks(o, true, coarseness, ends, &row[1]);
        if (row[0].count == MOST_BREAKS || row[1].count == MOST_BREAKS)
            continue;
        status = ll_meridian_make(o->pieces, rectangle, row[0].count, row[0].at, row[1].count,
                                  row[1].at, degree, out);
        if (!status && out->cells > MOST_CELLS) {
            ll_meridian_clear(out);
            status = LL_TOO_BIG;
        }
    }
    free(rectangle);
    free(row);
    free(ends);
    return status;
}

/* The winding's section in the half plane. */
static ll_rectangle section_of(const ll_pose *axis, const ll_coil *c)
{
    const double inner = 0.5 * c->shape.opening_x_m, half = 0.5 * c->shape.height_m;
    const double z = ll_to_own(axis, c->pose.origin_m).z;
    return (ll_rectangle){{inner, inner + c->shape.build_m}, {z - half, z + half}, 0};
}

ll_status ll_stack_mesh(const ll_scene *scene, const ll_pose *axis, int degree, ll_meridian *out)
{
    const size_t coils = ll_scene_coil_count(scene);
    ll_piece *piece = malloc((2 * ll_scene_part_count(scene) + 1) * sizeof *piece);
    ll_rectangle *winding = malloc((coils + 1) * sizeof *winding);
    ll_status status = piece && winding ? LL_OK : LL_NO_MEMORY;
    for (size_t i = 0; i < coils && !status; i++)
        winding[i] = section_of(axis, ll_scene_coil(scene, i));
    if (!status) {
        const ll_outlines o = {find_pieces(scene, axis, piece), coils, piece, winding};
        status = o.pieces > 0 && o.pieces < MOST_BREAKS / 8 ? cut(&o, degree, out) : LL_TOO_BIG;
    }
    free(piece);
    free(winding);
    return status;
}
