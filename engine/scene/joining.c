/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene/joining.h"
#include "shape/mesh.h"

int ll_part_frames(const ll_part *part, ll_rotation turn[3])
{
    turn[0] = part->pose.rotation;
    if (part->shape.kind != LL_BLOCK)
        return 1;
    const ll_rotation cycle = {{{0, 0, 1}, {1, 0, 0}, {0, 1, 0}}};
    turn[1] = ll_rotation_after(turn[0], cycle);
    turn[2] = ll_rotation_after(turn[1], cycle);
    return 3;
}

bool ll_parts_can_join(const ll_part *p, const ll_part *q)
{
    const ll_part *both[2] = {p, q};
    for (int own = 0; own < 2; own++) {
        ll_rotation turn[3];
        const int turns = ll_part_frames(both[own], turn);
        for (int k = 0; k < turns; k++) {
            const ll_rotation other =
                ll_rotation_seen_from(&turn[k], &both[1 - own]->pose.rotation);
            if (ll_mesh_fits(&both[1 - own]->shape, &other))
                return true;
        }
    }
    return false;
}
