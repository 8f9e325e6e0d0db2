/* panel.h - potentials and fields of flat triangles that carry a charge or a dipole layer, each linear over the
 * triangle, in closed form.
 *
 * With R the distance from the field point to a point of the triangle, n the triangle's normal and h the height of
 * the field point above its plane, the two layers of a density f are
 *     single   S f = (1 / 4 pi) integral f / R dS
 *     double   K f = (1 / 4 pi) integral f h / R^3 dS        (zero on the triangle's own plane)
 * Closed forms: Wilton et al., IEEE Trans. Antennas Propag. 32 (1984) 276 and Graglia, ibid. 41 (1993) 1448, for the
 * line integrals; Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30 (1983) 125, for the solid angle.
 * Any consistent unit of length. Thread-safe.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_FIELD_PANEL_H
#define LL_FIELD_PANEL_H

#include "base/geometry.h"
#include "base/status.h"
#include <stddef.h>

typedef struct ll_panels ll_panels;

/* count triangles over a list of nodes, counter-clockwise seen from the side of the normal. Caller frees. */
ll_status ll_panels_new(size_t count, const int (*triangle)[3], const ll_vec3 *node,
                        ll_panels **out);
void ll_panels_free(ll_panels *panels);
double ll_panels_area(const ll_panels *panels, size_t i);
ll_vec3 ll_panels_normal(const ll_panels *panels, size_t i);
ll_vec3 ll_panels_centre(const ll_panels *panels, size_t i);
/* Of the corners around the centre. */
double ll_panels_radius(const ll_panels *panels, size_t i);

/* Both layers of panel i at n points (coordinates in three arrays) for the density that is 1 at corner k and 0 at the
 * others: s[k * n + p], d[k * n + p]. With contact > 0, points within that height of the plane on either side are taken to lie
 * that far above it; with 0, points on the plane see no double layer. */
void ll_panel_potentials(const ll_panels *panels, size_t i, double contact, size_t n,
                         const double *x, const double *y, const double *z, double *s, double *d);

/* The same for points some radii away: the panel as three points of a rule that is exact for quadratics. */
void ll_panel_potentials_afar(const ll_panels *panels, size_t i, size_t n, const double *x,
                              const double *y, const double *z, double *s, double *d);

/* Minus the gradient of S charge + K dipole summed over all panels, at n points, added to h. Densities by panel and
 * corner, [3 i + k]; the dipole density must be continuous over a closed surface. Points that are neighbours in the list
 * should be neighbours in space. */
void ll_panels_field(const ll_panels *panels, const double *charge, const double *dipole, size_t n,
                     const ll_vec3 *points, ll_vec3 *h);

#endif
