/* What a plane cuts off a block: the charge on the faces beyond it, and its section.
 *
 * A face beyond the plane is a polygon, integrated over triangles from one of its corners. The normals of a closed surface add up
 * to nothing, so the section's area is what those of the faces beyond the plane do along the plane's.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/block_data.h"

#include <math.h>

enum { CORNERS_MOST = 5 };

/* A corner in the face's own coordinates, and its height above the plane. */
typedef struct corner {
    double u, w, height;
} corner;

/* The part of a convex polygon with height >= 0; returns how many corners. */
static int clip(int n, const corner *in, corner *out)
{
    int count = 0;
    for (int i = 0; i < n; i++) {
        const corner a = in[i], b = in[(i + 1) % n];
        if (a.height >= 0)
            out[count++] = a;
        if ((a.height >= 0) != (b.height >= 0)) {
            const double t = a.height / (a.height - b.height);
            out[count++] = (corner){a.u + t * (b.u - a.u), a.w + t * (b.w - a.w), 0};
        }
    }
    return count;
}

/* The charge polynomial of a face at own coordinates. */
static double charge_at(int p, const ll_rectangle_sides *s, const double *charge, double u,
                        double w)
{
    double lu[LL_DEGREE_MOST + 1], lw[LL_DEGREE_MOST + 1], sum = 0;
    ll_legendre(p, (2 * u - s->u[0] - s->u[1]) / (s->u[1] - s->u[0]), lu);
    ll_legendre(p, (2 * w - s->w[0] - s->w[1]) / (s->w[1] - s->w[0]), lw);
    for (int g = 0; g < p; g++)
        for (int h = 0; h < p; h++)
            sum += charge[g * p + h] * lu[g] * lw[h];
    return sum;
}

/* A square of Gauss points folded into the triangle (Duffy): exact for the polynomials of a face. */
static void add_triangle(const ll_block *f, const ll_face *face, const double *charge,
                         const corner t[3], double *flux, double *area)
{
    const double cross =
        (t[1].u - t[0].u) * (t[2].w - t[0].w) - (t[1].w - t[0].w) * (t[2].u - t[0].u);
    for (int i = 0; i < f->field_points; i++)
        for (int j = 0; j < f->field_points; j++) {
            const double a = 0.5 * (1 + f->field_node[i]), b = 0.5 * (1 + f->field_node[j]);
            const double weight = 0.25 * f->field_weight[i] * f->field_weight[j] * a * fabs(cross);
            const double u = t[0].u + a * (t[1].u - t[0].u + b * (t[2].u - t[1].u));
            const double w = t[0].w + a * (t[1].w - t[0].w + b * (t[2].w - t[1].w));
            *flux += weight * charge_at(f->form.degree, &face->sides, charge, u, w);
            *area += weight;
        }
}

/* The corners of a face in an octant, in the coordinates of its own octant. */
static void look_at_corners(const ll_block *f, const ll_face *face, int octant,
                            const ll_plane *plane, corner out[4])
{
    double sign[3];
    for (int k = 0; k < 3; k++)
        sign[k] = octant >> k & 1 ? -1 : 1;
    for (int i = 0; i < 4; i++) {
        out[i].u = face->sides.u[i == 1 || i == 2];
        out[i].w = face->sides.w[i >= 2];
        out[i].height =
            sign[face->normal] * f->half_m[face->normal] * ll_axis_of(plane->normal, face->normal) +
            sign[face->u] * out[i].u * ll_axis_of(plane->normal, face->u) +
            sign[face->w] * out[i].w * ll_axis_of(plane->normal, face->w) - plane->offset_m;
    }
}

void ll_block_flux_beyond(const ll_body_form *form, const double *x, const ll_plane *plane,
                          double *flux_a_m, double *area_m2)
{
    const ll_block *f = ll_block_of(form);
    const int charges = form->degree * form->degree;
    *flux_a_m = *area_m2 = 0;
    for (size_t k = 0; k < f->faces; k++) {
        double charge[LL_PARITIES * LL_FACE_CHARGES];
        for (int c = 0; c < LL_PARITIES; c++)
            for (int r = 0; r < charges; r++)
                charge[c * charges + r] = x[f->parity[c].lambda + k * (size_t)charges + (size_t)r];
        ll_parity_sums(charge, (size_t)charges, (size_t)charges);
        for (int o = 0; o < LL_PARITIES; o++) {
            const ll_face *face = &f->face[k];
            corner whole[4], part[CORNERS_MOST + 1];
            double area = 0;
            look_at_corners(f, face, o, plane, whole);
            const int n = clip(4, whole, part);
            for (int i = 1; i + 1 < n; i++) {
                const corner t[3] = {part[0], part[i], part[i + 1]};
                add_triangle(f, face, charge + o * charges, t, flux_a_m, &area);
            }
            *area_m2 +=
                area * ll_axis_of(plane->normal, face->normal) * (o >> face->normal & 1 ? -1 : 1);
        }
    }
}
