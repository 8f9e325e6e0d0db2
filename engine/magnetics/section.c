/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/section.h"
#include "base/constants.h"

#include <stdlib.h>

/* The smallest barycentric coordinate of a point in a tetrahedron, all four in share[]. */
static double inside_tet(const ll_mesh *mesh, size_t t, ll_vec3 own, double share[4])
{
    ll_vec3 hat[4];
    ll_tet_hats(mesh, t, hat);
    const ll_vec3 d = ll_sub(own, mesh->node_m[mesh->tet[t][0]]);
    double least = 1;
    for (int k = 0; k < 4; k++) {
        share[k] = ll_dot(hat[k], d) + (k == 0);
        least = fmin(least, share[k]);
    }
    return least;
}

static ll_vec3 gradient_at_node(const ll_mesh *mesh, int node, const double *w)
{
    ll_vec3 sum = {0};
    double volume = 0;
    for (size_t t = 0; t < mesh->tets; t++) {
        const int *n = mesh->tet[t];
        if (n[0] != node && n[1] != node && n[2] != node && n[3] != node)
            continue;
        ll_vec3 hat[4];
        const double v = ll_tet_hats(mesh, t, hat);
        for (int k = 0; k < 4; k++)
            sum = ll_add(sum, ll_scale(v * w[n[k]], hat[k]));
        volume += v;
    }
    return ll_scale(1 / volume, sum);
}

ll_status ll_body_gradient(const ll_body *body, const double *w, ll_vec3 point_m, ll_vec3 *gradient)
{
    const ll_mesh *mesh = body->form->mesh;
    const ll_vec3 own = ll_to_own(&body->pose, point_m);
    double share[4], best = -INFINITY;
    size_t tet = 0;
    for (size_t t = 0; t < mesh->tets && best < 0; t++) {
        const double least = inside_tet(mesh, t, own, share);
        if (least > best) {
            best = least;
            tet = t;
        }
    }
    inside_tet(mesh, tet, own, share);
    ll_vec3 sum = {0};
    for (int k = 0; k < 4; k++)
        sum = ll_add(sum, ll_scale(share[k], gradient_at_node(mesh, mesh->tet[tet][k], w)));
    *gradient = ll_rotate(&body->pose.rotation, sum);
    return LL_OK;
}

/* Corner k of a panel with its height above the plane and its density. */
typedef struct ll_cut {
    ll_vec3 at;
    double lambda;
} ll_cut;

static ll_cut between(ll_cut a, ll_cut b, double z)
{
    const double f = (z - a.at.z) / (b.at.z - a.at.z);
    return (ll_cut){ll_add(a.at, ll_scale(f, ll_sub(b.at, a.at))),
                    a.lambda + f * (b.lambda - a.lambda)};
}

/* The part of a triangle above the plane: up to four corners; returns how many. */
static int clip(const ll_cut v[3], double z, ll_cut out[4])
{
    int n = 0;
    for (int k = 0; k < 3; k++) {
        const ll_cut a = v[k], b = v[(k + 1) % 3];
        if (a.at.z >= z)
            out[n++] = a;
        if ((a.at.z >= z) != (b.at.z >= z))
            out[n++] = between(a, b, z);
    }
    return n;
}

/* Adds flux and the area vector's z of a polygon with linear density. */
static void add_polygon(const ll_cut *p, int n, double *flux, double *area_z)
{
    for (int k = 1; k + 1 < n; k++) {
        const ll_vec3 cross = ll_cross(ll_sub(p[k].at, p[0].at), ll_sub(p[k + 1].at, p[0].at));
        *flux += 0.5 * ll_norm(cross) * (p[0].lambda + p[k].lambda + p[k + 1].lambda) / 3;
        *area_z += 0.5 * cross.z;
    }
}

ll_status ll_body_section(const ll_body *body, const double *lambda, double z_m, double *bz_t)
{
    const ll_mesh *mesh = body->form->mesh;
    double flux = 0, area_z = 0;
    for (size_t t = 0; t < mesh->triangles; t++) {
        ll_cut v[3], above[4];
        for (int k = 0; k < 3; k++)
            v[k] = (ll_cut){ll_to_world(&body->pose, mesh->node_m[mesh->triangle[t][k]]),
                            lambda[mesh->corner[t][k]]};
        add_polygon(above, clip(v, z_m, above), &flux, &area_z);
    }
    /* The section closes the surface above it, so its area is what the rest's area vector lacks. */
    if (!(area_z > 1e-9 * body->form->size_m * body->form->size_m))
        return LL_OUTSIDE_PART;
    *bz_t = LL_MU0 * flux / area_z;
    return LL_OK;
}
