/* The field of a block's layers outside: Gauss points on its faces, or on pieces of them, which are halved until none is longer
 * than it is far from the point. SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/vectorised.h"
#include "elements/block_data.h"

#include <math.h>
#include <string.h>

enum { PIECE_POINTS = LL_FIELD_SIDE * LL_FIELD_SIDE, HALVINGS_MOST = 60, CHUNK = 64 };
/* A point on the surface itself sees pieces down to this share of a face. */
static const double least_piece = 1e-5;

/* A piece as points: where, their charges and dipole moments. */
typedef struct piece_points {
    int count;
    double x[PIECE_POINTS], y[PIECE_POINTS], z[PIECE_POINTS], charge[PIECE_POINTS],
        moment[PIECE_POINTS];
    double normal[3];
} piece_points;

typedef struct field_sum {
    double potential, h[3];
} field_sum;

static LL_VECTORISED(add_points,
                     (const piece_points *restrict s, const ll_vec3 *at, field_sum *restrict sum),
                     (s, at, sum))
{
    double potential = 0, hx = 0, hy = 0, hz = 0, turned = 0;
#pragma omp simd reduction(+ : potential, hx, hy, hz, turned)
    for (int i = 0; i < s->count; i++) {
        const double dx = at->x - s->x[i], dy = at->y - s->y[i], dz = at->z - s->z[i];
        const double inverse = 1 / sqrt(dx * dx + dy * dy + dz * dz);
        const double square = inverse * inverse, moment = s->moment[i] * square * inverse;
        const double along = moment * (dx * s->normal[0] + dy * s->normal[1] + dz * s->normal[2]);
        const double radial = (s->charge[i] * inverse + 3 * along) * square;
        potential += s->charge[i] * inverse + along;
        hx += radial * dx;
        hy += radial * dy;
        hz += radial * dz;
        turned += moment;
    }
    sum->potential += potential;
    sum->h[0] += hx - turned * s->normal[0];
    sum->h[1] += hy - turned * s->normal[1];
    sum->h[2] += hz - turned * s->normal[2];
}

/* ---- a face in one octant ---- */

typedef struct octant_face {
    const ll_block *block;
    const ll_face *face;
    int octant;
    const double *charge, *dipole; /* coefficients */
} octant_face;

/* One side of a piece: Gauss points, and the polynomials there. */
typedef struct piece_side {
    double at[LL_FIELD_SIDE], weight[LL_FIELD_SIDE];
    double charge[LL_FIELD_SIDE][LL_DEGREE_MOST + 1], dipole[LL_FIELD_SIDE][LL_DEGREE_MOST + 1];
} piece_side;

static void fill_side(const ll_block *f, const double whole[2], const double part[2],
                      piece_side *out)
{
    const double half = 0.5 * (part[1] - part[0]);
    for (int i = 0; i < f->field_points; i++) {
        double slope[LL_DEGREE_MOST + 1];
        out->at[i] = part[0] + half * (1 + f->field_node[i]);
        out->weight[i] = half * f->field_weight[i];
        const double x = (2 * out->at[i] - whole[0] - whole[1]) / (whole[1] - whole[0]);
        ll_legendre(f->form.degree, x, out->charge[i]);
        ll_shapes(f->form.degree, x, out->dipole[i], slope);
    }
}

static double density(int n, const double *u, const double *w, const double *coefficient)
{
    double sum = 0;
    for (int g = 0; g < n; g++)
        for (int h = 0; h < n; h++)
            sum += coefficient[g * n + h] * u[g] * w[h];
    return sum;
}

static void fill_piece(const octant_face *o, const ll_rectangle_sides *part, piece_points *out)
{
    const ll_block *f = o->block;
    const ll_face *face = o->face;
    const int p = f->form.degree;
    piece_side u, w;
    fill_side(f, face->sides.u, part->u, &u);
    fill_side(f, face->sides.w, part->w, &w);
    double sign[3], at[3];
    for (int k = 0; k < 3; k++) {
        sign[k] = o->octant >> k & 1 ? -1 : 1;
        out->normal[k] = k == face->normal ? sign[k] : 0;
    }
    out->count = 0;
    for (int i = 0; i < f->field_points; i++)
        for (int j = 0; j < f->field_points; j++) {
            const int n = out->count++;
            const double weight = u.weight[i] * w.weight[j];
            at[face->normal] = f->half_m[face->normal];
            at[face->u] = u.at[i];
            at[face->w] = w.at[j];
            out->x[n] = sign[0] * at[0];
            out->y[n] = sign[1] * at[1];
            out->z[n] = sign[2] * at[2];
            out->charge[n] = weight * density(p, u.charge[i], w.charge[j], o->charge);
            out->moment[n] = weight * density(p + 1, u.dipole[i], w.dipole[j], o->dipole);
        }
}

static double beside(const double side[2], double x)
{
    return fmax(0, fmax(side[0] - x, x - side[1]));
}

/* The point in the face's own octant: along its normal from it, along u, along w. */
static void see(const octant_face *o, const ll_vec3 *point, double at[3])
{
    const int axis[3] = {o->face->normal, o->face->u, o->face->w};
    for (int k = 0; k < 3; k++)
        at[k] = (o->octant >> axis[k] & 1 ? -1 : 1) * ll_axis_of(*point, axis[k]);
    at[0] -= o->block->half_m[o->face->normal];
}

static bool is_far(const ll_rectangle_sides *part, const double at[3])
{
    const double longer = fmax(part->u[1] - part->u[0], part->w[1] - part->w[0]);
    const double du = beside(part->u, at[1]), dw = beside(part->w, at[2]);
    return longer * longer <= at[0] * at[0] + du * du + dw * dw;
}

/* Halves across the longer side. */
static void add_halves(const octant_face *o, const ll_vec3 *point, const double at[3],
                       field_sum *sum)
{
    const ll_rectangle_sides *whole = &o->face->sides;
    ll_rectangle_sides stack[HALVINGS_MOST + 2] = {*whole};
    const double least = least_piece * fmax(whole->u[1] - whole->u[0], whole->w[1] - whole->w[0]);
    for (int top = 1; top > 0;) {
        ll_rectangle_sides p = stack[--top];
        const double lu = p.u[1] - p.u[0], lw = p.w[1] - p.w[0];
        if (is_far(&p, at) || fmax(lu, lw) < least || top >= HALVINGS_MOST) {
            piece_points points;
            fill_piece(o, &p, &points);
            add_points(&points, point, sum);
            continue;
        }
        double *side = lu >= lw ? p.u : p.w;
        const double low = side[0], middle = 0.5 * (side[0] + side[1]);
        side[0] = middle;
        stack[top++] = p;
        side[0] = low;
        side[1] = middle;
        stack[top++] = p;
    }
}

static void add_octant_face(const octant_face *o, size_t n, const ll_vec3 *point, field_sum *sum)
{
    piece_points whole;
    fill_piece(o, &o->face->sides, &whole);
    for (size_t i = 0; i < n; i++) {
        double at[3];
        see(o, &point[i], at);
        if (is_far(&o->face->sides, at))
            add_points(&whole, &point[i], &sum[i]);
        else
            add_halves(o, &point[i], at, &sum[i]);
    }
}

/* Coefficients of one face in all octants. */
static void face_densities(const ll_block *f, size_t k, const double *layer, double *charge,
                           double *dipole)
{
    const int p = f->form.degree, charges = p * p, shapes = (p + 1) * (p + 1);
    for (int c = 0; c < LL_PARITIES; c++) {
        const ll_parity *parity = &f->parity[c];
        const double *own = layer + parity->layer;
        for (int s = 0; s < shapes; s++) {
            const int at = parity->at_outline[f->face[k].trace[s]];
            dipole[c * shapes + s] = at >= 0 ? own[at] : 0;
        }
        memcpy(charge + c * charges, own + parity->outline + k * (size_t)charges,
               (size_t)charges * sizeof *charge);
    }
    ll_parity_sums(charge, (size_t)charges, (size_t)charges);
    ll_parity_sums(dipole, (size_t)shapes, (size_t)shapes);
}

static void add_chunk(const ll_block *f, const double *layer, size_t n, const ll_vec3 *point,
                      field_sum *sum)
{
    const int charges = f->form.degree * f->form.degree;
    const int shapes = (f->form.degree + 1) * (f->form.degree + 1);
    for (size_t k = 0; k < f->faces; k++) {
        double charge[LL_PARITIES * LL_FACE_CHARGES], dipole[LL_PARITIES * LL_FACE_SHAPES];
        face_densities(f, k, layer, charge, dipole);
        for (int i = 0; i < LL_PARITIES; i++) {
            const octant_face o = {f, &f->face[k], i, charge + i * charges, dipole + i * shapes};
            add_octant_face(&o, n, point, sum);
        }
    }
}

void ll_block_add_field(const ll_body_form *form, const double *layer, size_t n,
                        const ll_vec3 *own_m, double *potential_a, ll_vec3 *h_a_m)
{
    const double share = 1 / (4 * LL_PI);
#pragma omp parallel for schedule(dynamic, 1) if (n > CHUNK)
    for (size_t from = 0; from < n; from += CHUNK) {
        const size_t count = n - from < CHUNK ? n - from : CHUNK;
        field_sum sum[CHUNK];
        memset(sum, 0, sizeof sum);
        add_chunk(ll_block_of(form), layer, count, own_m + from, sum);
        for (size_t i = 0; i < count; i++) {
            const double *h = sum[i].h;
            if (potential_a)
                potential_a[from + i] += share * sum[i].potential;
            if (h_a_m)
                h_a_m[from + i] =
                    ll_add(h_a_m[from + i], ll_scale(share, ll_vec(h[0], h[1], h[2])));
        }
    }
}
