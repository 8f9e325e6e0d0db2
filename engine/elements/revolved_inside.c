/* The inside of a body of revolution: fields at the places of the law and fluxes tested by the shapes.
 *
 * A cell has points x points Gauss points, the same for all angles; a place is [cell][angle][point]. In a cell each wave gives
 * -dw/dr, -dw/dz and -m w / r by one small product with the shapes, and the angles are summed over the waves.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "base/vectorised.h"
#include "elements/revolved_data.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL_POINTS = 64 }; /* (LL_DEGREE_MOST + 3)^2 at most */

static int points_of_cell(const ll_revolved *f)
{
    return f->inside.points * f->inside.points;
}

static ll_status fill_shapes(ll_revolved *f)
{
    const int degree = f->meridian.degree, n = f->inside.points, all = n * n;
    const int shapes = (degree + 1) * (degree + 1);
    double *room = malloc((size_t)(3 * shapes * all) * sizeof *room);
    if (!room)
        return LL_NO_MEMORY;
    f->value = room;
    f->slope_r = room + shapes * all;
    f->slope_z = room + 2 * shapes * all;
    for (int q = 0; q < all; q++) {
        double vz[LL_DEGREE_MOST + 1], dz[LL_DEGREE_MOST + 1];
        double vr[LL_DEGREE_MOST + 1], dr[LL_DEGREE_MOST + 1];
        ll_shapes(degree, f->inside.at[q / n], vz, dz);
        ll_shapes(degree, f->inside.at[q % n], vr, dr);
        for (int s = 0; s < shapes; s++) {
            const int kz = s / (degree + 1), kr = s % (degree + 1);
            f->value[s * all + q] = vz[kz] * vr[kr];
            f->slope_r[s * all + q] = vz[kz] * dr[kr];
            f->slope_z[s * all + q] = dz[kz] * vr[kr];
        }
    }
    return LL_OK;
}

static double point_r(const ll_revolved *f, const ll_cell *c, int q)
{
    return c->r[0] + 0.5 * (c->r[1] - c->r[0]) * (1 + f->inside.at[q % f->inside.points]);
}

static double point_z(const ll_revolved *f, const ll_cell *c, int q)
{
    return c->z[0] + 0.5 * (c->z[1] - c->z[0]) * (1 + f->inside.at[q / f->inside.points]);
}

/* Area of the meridian that a point stands for. */
static double point_area(const ll_revolved *f, const ll_cell *c, int q)
{
    const int n = f->inside.points;
    return 0.25 * (c->r[1] - c->r[0]) * (c->z[1] - c->z[0]) * f->inside.weight[q % n] *
           f->inside.weight[q / n];
}

static void fill_places(ll_revolved *f)
{
    const int all = points_of_cell(f);
    size_t at = 0;
    for (size_t k = 0; k < f->meridian.cells; k++)
        for (int a = 0; a < f->around.count; a++)
            for (int q = 0; q < all; q++, at++) {
                const ll_cell *c = &f->meridian.cell[k];
                const double r = point_r(f, c, q);
                f->form.place_m[at] =
                    ll_vec(r * f->around.cosine[a], r * f->around.sine[a], point_z(f, c, q));
                f->form.volume_m3[at] = point_area(f, c, q) * r * f->around.weight;
                f->form.region[at] = c->region;
            }
}

ll_status ll_revolved_prepare_inside(ll_revolved *f)
{
    ll_body_form *form = &f->form;
    const size_t all = (size_t)points_of_cell(f);
    form->places = f->meridian.cells * (size_t)f->around.count * all;
    form->room_size = 3 * all * (size_t)f->waves;
    form->place_m = malloc(form->places * sizeof *form->place_m);
    form->volume_m3 = malloc(form->places * sizeof *form->volume_m3);
    form->region = malloc(form->places * sizeof *form->region);
    if (!form->place_m || !form->volume_m3 || !form->region)
        return LL_NO_MEMORY;
    fill_places(f);
    return fill_shapes(f);
}

/* ---- from w to H ---- */

/* out[3][points]: -dw/dr, -w / r and -dw/dz of one wave at the points of a cell. */
static LL_VECTORISED(slopes_of_wave,
                     (const ll_revolved *f, const ll_cell *c, const ll_wave *wave, const double *w,
                      double *out),
                     (f, c, wave, w, out))
{
    const int degree = f->meridian.degree, n = points_of_cell(f);
    const int shapes = (degree + 1) * (degree + 1);
    const int *number = ll_part_of(f, wave->m)->number;
    const double to_r = -2 / (c->r[1] - c->r[0]), to_z = -2 / (c->z[1] - c->z[0]);
    memset(out, 0, (size_t)(3 * n) * sizeof *out);
    for (int s = 0; s < shapes; s++) {
        const int at = number[c->unknown[s]];
        if (at < 0)
            continue;
        const double x = w[wave->w + (size_t)at], xr = to_r * x, xz = to_z * x;
        const double *v = f->value + s * n, *dr = f->slope_r + s * n, *dz = f->slope_z + s * n;
        for (int q = 0; q < n; q++) {
            out[q] += xr * dr[q];
            out[n + q] -= x * v[q];
            out[2 * n + q] += xz * dz[q];
        }
    }
    for (int q = 0; q < n; q++)
        out[n + q] *= wave->m / point_r(f, c, q);
}

/* H at one angle of a cell, Cartesian, from what each wave gives. */
static LL_VECTORISED(sum_waves,
                     (const ll_revolved *f, int angle, const double *slopes, double *hx, double *hy,
                      double *hz),
                     (f, angle, slopes, hx, hy, hz))
{
    const int n = points_of_cell(f);
    const double c = f->around.cosine[angle], s = f->around.sine[angle];
    double hr[CELL_POINTS] = {0}, hp[CELL_POINTS] = {0}, up[CELL_POINTS] = {0};
    for (int k = 0; k < f->waves; k++) {
        const double along = f->around.wave[k * f->around.count + angle];
        const double around = f->around.turned[k * f->around.count + angle];
        const double *o = slopes + (size_t)(3 * n) * (size_t)k;
        for (int q = 0; q < n; q++) {
            hr[q] += along * o[q];
            hp[q] += around * o[n + q];
            up[q] += along * o[2 * n + q];
        }
    }
    for (int q = 0; q < n; q++) {
        hx[q] = c * hr[q] - s * hp[q];
        hy[q] = s * hr[q] + c * hp[q];
        hz[q] = up[q];
    }
}

void ll_revolved_find_h(const ll_body_form *form, const double *w, double *h, double *room)
{
    const ll_revolved *f = ll_revolved_of(form);
    const size_t n = (size_t)points_of_cell(f), places = form->places;
    size_t at = 0;
    for (size_t k = 0; k < f->meridian.cells; k++) {
        for (int v = 0; v < f->waves; v++)
            slopes_of_wave(f, &f->meridian.cell[k], &f->wave[v], w, room + 3 * n * (size_t)v);
        for (int a = 0; a < f->around.count; a++, at += n)
            sum_waves(f, a, room, h + at, h + places + at, h + 2 * places + at);
    }
}

/* ---- from B to the equations ---- */

/* out[3][points] += the weighed B of one angle by one wave: B_r, m B_phi / r and B_z. */
static LL_VECTORISED(add_angle,
                     (const ll_revolved *f, int angle, const ll_wave *wave, const double *bx,
                      const double *by, const double *bz, double *out),
                     (f, angle, wave, bx, by, bz, out))
{
    const int n = points_of_cell(f);
    const double c = f->around.cosine[angle], s = f->around.sine[angle];
    const size_t at = (size_t)((wave - f->wave) * f->around.count + angle);
    const double along = f->around.wave[at], around = f->around.turned[at];
    for (int q = 0; q < n; q++) {
        out[q] += along * (c * bx[q] + s * by[q]);
        out[n + q] += around * (c * by[q] - s * bx[q]);
        out[2 * n + q] += along * bz[q];
    }
}

/* y -= the integral of B . grad v over a cell, v of one wave. */
static LL_VECTORISED(test_wave,
                     (const ll_revolved *f, const ll_cell *c, const ll_wave *wave, double *b,
                      double *y),
                     (f, c, wave, b, y))
{
    const int degree = f->meridian.degree, n = points_of_cell(f);
    const int shapes = (degree + 1) * (degree + 1);
    const int *number = ll_part_of(f, wave->m)->number;
    const double to_r = 2 / (c->r[1] - c->r[0]), to_z = 2 / (c->z[1] - c->z[0]);
    for (int q = 0; q < n; q++) {
        const double r = point_r(f, c, q), weight = point_area(f, c, q) * r * f->around.weight;
        b[q] *= weight * to_r;
        b[n + q] *= weight * wave->m / r;
        b[2 * n + q] *= weight * to_z;
    }
    for (int s = 0; s < shapes; s++) {
        const int at = number[c->unknown[s]];
        if (at < 0)
            continue;
        const double *v = f->value + s * n, *dr = f->slope_r + s * n, *dz = f->slope_z + s * n;
        double sum = 0;
#pragma omp simd reduction(+ : sum)
        for (int q = 0; q < n; q++)
            sum += b[q] * dr[q] + b[n + q] * v[q] + b[2 * n + q] * dz[q];
        y[wave->w + (size_t)at] -= sum;
    }
}

void ll_revolved_test_flux(const ll_body_form *form, const double *b, double *y, double *room)
{
    const ll_revolved *f = ll_revolved_of(form);
    const size_t n = (size_t)points_of_cell(f), places = form->places;
    for (size_t k = 0; k < f->meridian.cells; k++)
        for (int v = 0; v < f->waves; v++) {
            size_t at = k * (size_t)f->around.count * n;
            memset(room, 0, 3 * n * sizeof *room);
            for (int a = 0; a < f->around.count; a++, at += n)
                add_angle(f, a, &f->wave[v], b + at, b + places + at, b + 2 * places + at, room);
            test_wave(f, &f->meridian.cell[k], &f->wave[v], room, y);
        }
}

/* ---- at one point ---- */

/* -dw/dr, -m w / r and -dw/dz of one wave at a point of a cell, xr and xz on -1 .. 1. */
static ll_vec3 slopes_at(const ll_revolved *f, const ll_cell *c, const ll_wave *wave,
                         const double *w, double xr, double xz)
{
    const int degree = f->meridian.degree;
    const int *number = ll_part_of(f, wave->m)->number;
    const double half_r = 0.5 * (c->r[1] - c->r[0]), half_z = 0.5 * (c->z[1] - c->z[0]);
    double vz[LL_DEGREE_MOST + 1], dz[LL_DEGREE_MOST + 1];
    double vr[LL_DEGREE_MOST + 1], dr[LL_DEGREE_MOST + 1];
    ll_shapes(degree, xr, vr, dr);
    ll_shapes(degree, xz, vz, dz);
    ll_vec3 sum = {0, 0, 0};
    for (int s = 0; s < (degree + 1) * (degree + 1); s++) {
        const int at = number[c->unknown[s]], kz = s / (degree + 1), kr = s % (degree + 1);
        const double x = at < 0 ? 0 : w[wave->w + (size_t)at];
        sum.x -= x * vz[kz] * dr[kr] / half_r;
        sum.y -= x * vz[kz] * vr[kr];
        sum.z -= x * dz[kz] * vr[kr] / half_z;
    }
    sum.y *= wave->m / (c->r[0] + half_r * (1 + xr));
    return sum;
}

static double within(double low, double high, double x)
{
    return fmin(1, fmax(-1, (2 * x - low - high) / (high - low)));
}

ll_vec3 ll_revolved_h_at(const ll_body_form *form, const double *w, ll_vec3 own_m)
{
    const ll_revolved *f = ll_revolved_of(form);
    /* On the axis itself the limit is meant. */
    const double r = fmax(hypot(own_m.x, own_m.y), 1e-6 * f->meridian.radius_m);
    const double angle = atan2(own_m.y, own_m.x);
    const ll_cell *c = ll_meridian_cell(&f->meridian, r, own_m.z);
    double hr = 0, hp = 0, hz = 0;
    for (int k = 0; k < f->waves; k++) {
        const ll_wave *wave = &f->wave[k];
        const ll_vec3 o = slopes_at(f, c, wave, w, within(c->r[0], c->r[1], r),
                                    within(c->z[0], c->z[1], own_m.z));
        const double along = wave->sine ? sin(wave->m * angle) : cos(wave->m * angle);
        const double around = wave->sine ? cos(wave->m * angle) : -sin(wave->m * angle);
        hr += along * o.x;
        hp += around * o.y;
        hz += along * o.z;
    }
    return ll_vec(cos(angle) * hr - sin(angle) * hp, sin(angle) * hr + cos(angle) * hp, hz);
}
