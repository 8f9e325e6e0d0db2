/* solid.h - the bodies of a pickup as a draughtsman sees them: convex prisms, cut by planes and seen from sides.
 * Lengths in millimetres. Knows nothing of drawing.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_SOLID_H
#define LL_PICTURE_SOLID_H

#include "base/geometry.h"
#include <stdbool.h>
#include <stddef.h>

/* Corners of a prism's base; a circle has all of them. */
enum { PICTURE_CORNERS = 64 };

/* A convex outline in the own x-y plane, drawn out along the own z. */
typedef struct picture_prism {
    size_t corners;
    double corner_mm[PICTURE_CORNERS][2]; /* counter-clockwise */
    double from_mm, to_mm;
    bool hole; /* taken out of the prism before it; as high as that */
} picture_prism;

typedef enum picture_stuff {
    PICTURE_MAGNET,
    PICTURE_STEEL,
    PICTURE_METAL, /* not magnetic */
    PICTURE_WINDING,
    PICTURE_STUFFS
} picture_stuff;

typedef struct picture_solid {
    const char *name, *words; /* "pole 1"; "rod 5 x 18, steel 1018" */
    picture_stuff stuff;
    bool pole;
    ll_vec3 north; /* of a magnet, length 1; else zero */
    ll_rotation rotation;
    ll_vec3 origin_mm;
    size_t prisms;
    picture_prism prism[2];
} picture_solid;

/* Outlines about the own z: a rectangle with round corners (0 for sharp ones), a circle. */
picture_prism picture_rectangle(double x_mm, double y_mm, double corner_mm, double from_mm,
                                double to_mm);
picture_prism picture_circle(double diameter_mm, double from_mm, double to_mm);

/* How one looks, or which plane cuts: `across` to the right, `up` upwards, `towards` the one who looks. */
typedef struct picture_view {
    ll_vec3 across, up, towards; /* unit vectors, towards = across x up */
} picture_view;

/* A flat convex outline; at most twice a prism's corners. */
typedef struct picture_outline {
    size_t corners;
    double corner_mm[2 * PICTURE_CORNERS][2]; /* across, up */
} picture_outline;

/* Prism i as it is seen. */
void picture_seen(const picture_solid *solid, size_t i, const picture_view *view,
                  picture_outline *out);
/* Prism i where the plane at_mm along `towards` cuts it; no corners where it does not. */
void picture_cut(const picture_solid *solid, size_t i, const picture_view *view, double at_mm,
                 picture_outline *out);
/* True for a place within the outline, or on it. */
bool picture_within(const picture_outline *outline, double across_mm, double up_mm);
/* True when prism i is a hole that is looked through: it opens towards the view. */
bool picture_looked_through(const picture_solid *solid, size_t i, const picture_view *view);

/* How far a solid reaches along a direction (unit). */
typedef struct picture_range {
    double from_mm, to_mm;
} picture_range;
picture_range picture_reach(const picture_solid *solid, ll_vec3 direction);

#endif
