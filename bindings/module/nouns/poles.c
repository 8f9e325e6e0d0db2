/* poles.c - which parts of a pickup are poles.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/nouns/pickup.h"
#include <math.h>
#include <string.h>

/* Said to be one, or named like one. */
static bool marked(const bind_part *part)
{
    return part->pole || (part->name && strncmp(part->name, "pole", 4) == 0);
}

/* What poles mostly are. */
static bool round_bar(const bind_part *part)
{
    return part->shape.kind == LL_ROD || part->shape.kind == LL_SCREW;
}

/* Fills the indices of the parts that are wanted. */
static size_t select(const bind_pickup *pickup, bool (*wanted)(const bind_part *), size_t *indices)
{
    size_t count = 0;
    for (size_t i = 0; i < pickup->parts.count; i++)
        if (wanted(bind_pickup_part(pickup, i)))
            indices[count++] = i;
    return count;
}

size_t bind_poles(const bind_pickup *pickup, size_t *indices)
{
    size_t count = select(pickup, marked, indices);
    return count ? count : select(pickup, round_bar, indices);
}

size_t bind_pole_coil(const bind_pickup *pickup, const bind_part *pole)
{
    size_t nearest = 0;
    double least = HUGE_VAL;
    for (size_t i = 0; i < pickup->coils.count; i++) {
        const bind_coil *coil = bind_pickup_coil(pickup, i);
        const ll_vec3 way = ll_to_own(&coil->pose, pole->pose.origin_m);
        const double x = fmax(0, fabs(way.x) - coil->opening_m[0] / 2);
        const double y = fmax(0, fabs(way.y) - coil->opening_m[1] / 2), away = hypot(x, y);
        if (away < least - 1e-9) {
            least = away;
            nearest = i;
        }
    }
    return nearest;
}

double bind_part_top_m(const bind_part *part)
{
    return part->pose.origin_m.z +
           ll_shape_reach_m(&part->shape, &part->pose.rotation, ll_vec(0, 0, 1));
}
