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

static ll_rotation transposed(const ll_rotation *r)
{
    ll_rotation t;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            t.m[i][j] = r->m[j][i];
    return t;
}

ll_rotation ll_rotation_seen_from(const ll_rotation *frame, const ll_rotation *own)
{
    const ll_rotation back = transposed(frame);
    ll_rotation r = ll_rotation_after(back, *own);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            if (fabs(r.m[i][j] - round(r.m[i][j])) < 1e-12)
                r.m[i][j] = round(r.m[i][j]);
    return r;
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
