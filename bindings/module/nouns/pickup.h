/* pickup.h - a pickup's members by number and by name, the signs of its coils, its poles.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_PICKUP_H
#define LL_BIND_PICKUP_H

#include "module/nouns/nouns.h"

const bind_part *bind_pickup_part(const bind_pickup *pickup, size_t i);
const bind_coil *bind_pickup_coil(const bind_pickup *pickup, size_t i);
/* Push "part 'pole 4'" or "part 3", "coil 1". */
const char *bind_part_label(lua_State *L, const bind_pickup *pickup, size_t i);
const char *bind_coil_label(lua_State *L, const bind_pickup *pickup, size_t i);

/* Pushes the coil's name, or "coil 1". */
const char *bind_coil_name(lua_State *L, const bind_pickup *pickup, size_t i);
/* Pushes "pole 4" or "part 3", for tables. */
const char *bind_part_name(lua_State *L, const bind_pickup *pickup, size_t i);

/* Sign with which coil i adds to the linkage of the whole pickup: +1 when B along +z counts positive. The whole
 * is counted as its first coil is, finish against start; the others by how their leads join the series. */
double bind_coil_sign(const bind_pickup *pickup, size_t i);
/* -1 when the hot lead is the start of the first coil. */
double bind_hot_sign(const bind_pickup *pickup);

/* Poles: parts with `pole = true`, those whose name begins with "pole", or, without any of them, rods and
 * screws. Fills indices (room for all parts), returns how many. */
size_t bind_poles(const bind_pickup *pickup, size_t *indices);
/* The coil that the pole stands in, or next to. */
size_t bind_pole_coil(const bind_pickup *pickup, const bind_part *pole);
double bind_part_top_m(const bind_part *part);

#endif
