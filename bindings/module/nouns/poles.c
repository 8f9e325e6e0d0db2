/* poles.c - which parts of a pickup are poles.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/nouns/pickup.h"
#include "scene/around.h"
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
    size_t best = 0;
    for (size_t i = 1; i < pickup->coils.count; i++) {
        const bind_coil *a = bind_pickup_coil(pickup, best), *b = bind_pickup_coil(pickup, i);
        const ll_coil pair[] = {{.shape = a->shape, .pose = a->pose},
                                {.shape = b->shape, .pose = b->pose}};
        if (ll_coil_around(2, pair, &pole->shape, &pole->pose) == 1)
            best = i;
    }
    return best;
}

double bind_part_top_m(const bind_part *part)
{
    return part->pose.origin_m.z +
           ll_shape_reach_m(&part->shape, &part->pose.rotation, ll_vec(0, 0, 1));
}
