/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading/section.h"
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

/* Means over the tetrahedra of one region around a node, so that H may jump between materials. */
static ll_vec3 h_at_node(const ll_mesh *mesh, int region, int node, const double *w)
{
    ll_vec3 sum = {0};
    double volume = 0;
    for (size_t t = 0; t < mesh->tets; t++) {
        const int *n = mesh->tet[t];
        if (mesh->owner[t] != region ||
            (n[0] != node && n[1] != node && n[2] != node && n[3] != node))
            continue;
        ll_vec3 hat[4];
        const double v = ll_tet_hats(mesh, t, hat);
        for (int k = 0; k < 4; k++)
            sum = ll_add(sum, ll_scale(-v * w[n[k]], hat[k]));
        volume += v;
    }
    return ll_scale(1 / volume, sum);
}

/* The tetrahedron of a region that holds a point, or else comes nearest to holding it. */
static size_t find_tet(const ll_mesh *mesh, int region, ll_vec3 own, double share[4])
{
    double best = -INFINITY;
    size_t tet = 0;
    for (size_t t = 0; t < mesh->tets && best < 0; t++) {
        const double least = mesh->owner[t] == region ? inside_tet(mesh, t, own, share) : -INFINITY;
        if (least > best) {
            best = least;
            tet = t;
        }
    }
    inside_tet(mesh, tet, own, share);
    return tet;
}

ll_status ll_body_field(const ll_body *body, size_t region, const double *w, ll_vec3 point_m,
                        ll_vec3 source_h, ll_vec3 *h, ll_vec3 *b_mu0)
{
    const ll_mesh *mesh = body->form->mesh;
    double share[4];
    const size_t tet = find_tet(mesh, (int)region, ll_to_own(&body->pose, point_m), share);
    ll_vec3 own = ll_rotate_back(&body->pose.rotation, source_h), b;
    for (int k = 0; k < 4; k++)
        own = ll_add(own, ll_scale(share[k], h_at_node(mesh, (int)region, mesh->tet[tet][k], w)));
    ll_body_law(body, tet, own, &b, NULL);
    *h = ll_rotate(&body->pose.rotation, own);
    *b_mu0 = ll_rotate(&body->pose.rotation, b);
    return LL_OK;
}

/* A corner of a panel with its height over the plane and its density. */
typedef struct ll_cut {
    ll_vec3 at;
    double height, lambda;
} ll_cut;

static ll_cut between(ll_cut a, ll_cut b)
{
    const double f = a.height / (a.height - b.height);
    return (ll_cut){ll_add(a.at, ll_scale(f, ll_sub(b.at, a.at))), 0,
                    a.lambda + f * (b.lambda - a.lambda)};
}

/* The part of a triangle at positive height: up to four corners; returns how many. */
static int clip(const ll_cut v[3], ll_cut out[4])
{
    int n = 0;
    for (int k = 0; k < 3; k++) {
        const ll_cut a = v[k], b = v[(k + 1) % 3];
        if (a.height >= 0)
            out[n++] = a;
        if ((a.height >= 0) != (b.height >= 0))
            out[n++] = between(a, b);
    }
    return n;
}

static double flux_of_polygon(const ll_cut *p, int n)
{
    double flux = 0;
    for (int k = 1; k + 1 < n; k++) {
        const ll_vec3 cross = ll_cross(ll_sub(p[k].at, p[0].at), ll_sub(p[k + 1].at, p[0].at));
        flux += 0.5 * ll_norm(cross) * (p[0].lambda + p[k].lambda + p[k + 1].lambda) / 3;
    }
    return flux;
}

/* Area of a tetrahedron's section by the plane of zero height. */
static double tet_section(const ll_mesh *mesh, size_t t, const double height[4])
{
    ll_vec3 p[4];
    int n = 0;
    for (int a = 0; a < 4; a++)
        for (int b = a + 1; b < 4; b++) {
            if ((height[a] >= 0) == (height[b] >= 0))
                continue;
            const double f = height[a] / (height[a] - height[b]);
            const ll_vec3 from = mesh->node_m[mesh->tet[t][a]], to = mesh->node_m[mesh->tet[t][b]];
            p[n++] = ll_add(from, ll_scale(f, ll_sub(to, from)));
        }
    if (n < 3)
        return 0;
    double area = ll_norm(ll_cross(ll_sub(p[1], p[0]), ll_sub(p[2], p[0])));
    /* Four crossings are found in the order 0 1 2 3 with 0 opposite 3. */
    if (n == 4)
        area += ll_norm(ll_cross(ll_sub(p[1], p[3]), ll_sub(p[2], p[3])));
    return area / 2;
}

/* The pieces into which the plane z = z_m cuts a body, on one side of it (side 1 above, -1 below). */
typedef struct ll_pieces {
    int *piece;     /* [nodes] union-find parent of nodes on that side, -1 of others */
    double *height; /* [nodes] over the plane, positive on that side */
} ll_pieces;

static int root_of(int *piece, int node)
{
    while (piece[node] != node)
        node = piece[node] = piece[piece[node]];
    return node;
}

static ll_status find_pieces(const ll_body *body, double z_m, int side, ll_pieces *p)
{
    const ll_mesh *mesh = body->form->mesh;
    p->piece = malloc(mesh->nodes * sizeof *p->piece);
    p->height = malloc(mesh->nodes * sizeof *p->height);
    if (!p->piece || !p->height)
        return LL_NO_MEMORY;
    for (size_t n = 0; n < mesh->nodes; n++) {
        p->height[n] = side * (ll_to_world(&body->pose, mesh->node_m[n]).z - z_m);
        p->piece[n] = p->height[n] >= 0 ? (int)n : -1;
    }
    for (size_t t = 0; t < mesh->tets; t++) {
        int first = -1;
        for (int k = 0; k < 4; k++) {
            const int n = mesh->tet[t][k];
            if (p->piece[n] >= 0 && first >= 0)
                p->piece[root_of(p->piece, n)] = root_of(p->piece, first);
            else if (p->piece[n] >= 0)
                first = n;
        }
    }
    return LL_OK;
}

/* What the plane cuts: of a region its area, its flux by the field in its tetrahedra, and the piece behind it; and whether that
 * piece is cut off by this region alone. */
typedef struct ll_cut_through {
    double area, flux;
    int piece;
    bool alone;
} ll_cut_through;

static double flux_of_tet(const ll_body *body, size_t t, const double *w)
{
    ll_vec3 b;
    ll_body_law(body, t, ll_body_h(body, t, w), &b, NULL);
    return LL_MU0 * ll_rotate(&body->pose.rotation, b).z;
}

static ll_cut_through cut_region(const ll_body *body, int region, const double *w, ll_pieces *p)
{
    const ll_mesh *mesh = body->form->mesh;
    ll_cut_through cut = {0, 0, -1, true};
    for (int pass = 0; pass < 2; pass++)
        for (size_t t = 0; t < mesh->tets; t++) {
            double height[4];
            int behind = -1;
            for (int k = 0; k < 4; k++) {
                height[k] = p->height[mesh->tet[t][k]];
                if (p->piece[mesh->tet[t][k]] >= 0)
                    behind = root_of(p->piece, mesh->tet[t][k]);
            }
            const double area = tet_section(mesh, t, height);
            if (area == 0)
                continue;
            if (pass == 0 && mesh->owner[t] == region) {
                cut.area += area;
                cut.flux += area * flux_of_tet(body, t, w);
                cut.alone = cut.alone && (cut.piece < 0 || cut.piece == behind);
                cut.piece = behind;
            } else if (pass == 1 && mesh->owner[t] != region && behind == cut.piece)
                cut.alone = false;
        }
    return cut;
}

/* Flux of B / mu0 out of the surface of one piece. */
static double flux_of_piece(const ll_body *body, const double *lambda, ll_pieces *p, int piece)
{
    const ll_mesh *mesh = body->form->mesh;
    double flux = 0;
    for (size_t t = 0; t < mesh->triangles; t++) {
        ll_cut v[3], kept[4];
        bool mine = false;
        for (int k = 0; k < 3; k++) {
            const int n = mesh->triangle[t][k];
            v[k] = (ll_cut){mesh->node_m[n], p->height[n], lambda[mesh->corner[t][k]]};
            mine = mine || (p->piece[n] >= 0 && root_of(p->piece, n) == piece);
        }
        if (mine)
            flux += flux_of_polygon(kept, clip(v, kept));
    }
    return flux;
}

/* On one side of the plane; *sure tells whether surface flux could be used. */
static ll_status section_on_side(const ll_body *body, size_t region, const double *w,
                                 const double *lambda, double z_m, int side, bool *sure,
                                 double *bz_t)
{
    ll_pieces p = {NULL, NULL};
    ll_status status = find_pieces(body, z_m, side, &p);
    if (!status) {
        const ll_cut_through cut = cut_region(body, (int)region, w, &p);
        if (!(cut.area > 1e-9 * body->form->size_m * body->form->size_m))
            status = LL_OUTSIDE_PART;
        else {
            *sure = cut.alone;
            const double out = cut.alone ? flux_of_piece(body, lambda, &p, cut.piece) : 0;
            *bz_t = cut.alone ? side * LL_MU0 * out / cut.area : cut.flux / cut.area;
        }
    }
    free(p.piece);
    free(p.height);
    return status;
}

ll_status ll_body_section(const ll_body *body, size_t region, const double *w, const double *lambda,
                          double z_m, double *bz_t)
{
    bool sure;
    ll_status status = section_on_side(body, region, w, lambda, z_m, 1, &sure, bz_t);
    if (!status && !sure)
        status = section_on_side(body, region, w, lambda, z_m, -1, &sure, bz_t);
    return status;
}
