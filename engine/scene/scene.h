/* scene.h - a pickup as the engine sees it: parts and coils placed in space, checked before anything is solved.
 *
 * SI units, right-handed axes: x across the strings to the treble side, y along the strings to the neck, z
 * from the pickup up to the strings.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SCENE_SCENE_H
#define LL_SCENE_SCENE_H

#include "base/api.h"
#include "base/geometry.h"
#include "base/status.h"
#include "material/material.h"
#include "shape/shape.h"
#include "winding/winding.h"

LL_API_BEGIN

typedef struct ll_scene ll_scene;

/* When a magnet was charged. It matters where the law bends: a magnet that was charged alone has seen the low field of
 * open air, and comes back up a recoil line when it is built in; one that was charged where it stands has not. */
typedef enum ll_charging { LL_CHARGED_ASSEMBLED, LL_CHARGED_ALONE } ll_charging;

/* A clear hole right through a block of metal that is not magnetic, for a screw, a pole or a wire: what stands within it does not
 * cut into the block. Eddy currents take the block as whole; a hole changes them by some per cent of its share of the area. */
typedef struct ll_hole {
    ll_vec3 at_m; /* world; the hole runs along the block's own z */
    double radius_m;
} ll_hole;

enum { LL_MOST_HOLES = 16 };

/* What a part is; the scene copies it and shares the material. */
typedef struct ll_part {
    const char *name;
    ll_shape shape;
    ll_pose pose;
    const ll_material *material;
    ll_vec3
        north; /* magnets: world direction of the magnetisation, any length but zero; else zero */
    double charge;       /* magnets: fraction of full magnetisation, -1 to 1 */
    ll_charging charged; /* magnets */
    double warmer_k;     /* magnets: their temperature less 20 C */
    size_t holes;        /* of hole[] */
    ll_hole hole[LL_MOST_HOLES];
} ll_part;

/* What a coil is: its winding cross-section and place. */
typedef struct ll_coil {
    const char *name;
    ll_coil_shape shape;
    ll_pose pose;
    double turns; /* > 0; clockwise winding or a reversed hot lead is the caller's sign */
} ll_coil;

ll_status ll_scene_new(ll_scene **out);
void ll_scene_free(ll_scene *scene);
/* Parts and coils are numbered from 0 in the order in which they were added.
 * LL_NEEDS_NORTH, LL_BAD_VALUE; LL_NO_COEFFICIENT for a magnet away from 20 C whose material has no temperature
 * coefficient; LL_IN_USE once it was solved or given to an estimator, which rest on what is in it. */
ll_status ll_scene_add_part(ll_scene *scene, const ll_part *part);
ll_status ll_scene_add_coil(ll_scene *scene, const ll_coil *coil);
size_t ll_scene_part_count(const ll_scene *scene);
size_t ll_scene_coil_count(const ll_scene *scene);
/* Valid until the scene is freed. NULL past the end. In a part's copy `charge` holds what its temperature does, too; poses are
 * snapped (ll_pose_snapped), and of those in which a shape fills the same place always the same one; north is a unit vector. */
const ll_part *ll_scene_part(const ll_scene *scene, size_t i);
const ll_coil *ll_scene_coil(const ll_scene *scene, size_t i);

/* One thing wrong with a scene: part `a` cuts into part `b`, or into the winding of coil `b`. */
typedef struct ll_clash {
    bool with_coil;
    size_t a, b;
    double depth_m;
} ll_clash;

/* Fills at most `room` clashes, sets *found to how many there are. Pieces of steel may overlap where both are
 * prisms along a common axis (a screw through a plate): they act as one magnetic path. Contact, and cuts below 1 micrometre, are no clash. */
ll_status ll_scene_check(const ll_scene *scene, size_t room, ll_clash *clashes, size_t *found);

/* A plate of edges x_m and y_m without n square openings around round holes of these middles and radii (own axes, from its middle):
 * rectangles that share their edges. Fills at most `room` of them; returns how many there are. */
typedef struct ll_tile {
    double x_m[2], y_m[2];
} ll_tile;
size_t ll_plate_tiles(double x_m, double y_m, size_t n, const ll_vec3 *middle_m,
                      const double *radius_m, size_t room, ll_tile *tile);

/* How far one part can be moved along a direction of length 1 before it cuts into another part or a winding by more than a check
 * allows; at most most_m, found to a hundredth of it, from the safe side. The others stay. LL_NO_PART; LL_BAD_VALUE for a distance
 * that is not greater than zero. */
ll_status ll_scene_travel(const ll_scene *scene, size_t part, ll_vec3 way, double most_m,
                          double *travel_m);

LL_API_END

#endif
