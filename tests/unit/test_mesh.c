/* test_mesh.c - meshes fill their shapes exactly, close around them and number their corners by smooth pieces.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "build.h"
#include "magnetics/body.h"
#include "shape/mesh.h"
#include <stdlib.h>

enum { SHAPES = 7 };

/* Those of a pickup: block, thin plate, pole, thin disc, ring, screw, screw whose head is no wider than its thread. */
static ll_shape shape_at(int i)
{
    switch (i) {
    case 0:
        return block_mm(60, 10, 4);
    case 1:
        return block_mm(60, 40, 0.5);
    case 2:
        return rod_mm(5, 18);
    case 3:
        return rod_mm(20, 0.8);
    case 4:
        return ring_mm(12, 7, 3);
    case 5:
        return screw_mm(3, 20, 5, 2);
    default:
        return screw_mm(4, 15, 4, 3);
    }
}

static ll_mesh *mesh_of(int i, double fineness)
{
    const ll_shape shape = shape_at(i);
    const ll_pose here = ll_pose_at(mm(0, 0, 0));
    const ll_sizing sizing = {.fineness = fineness, .edge = 1};
    ll_mesh *mesh;
    assert_ok(ll_mesh_new(1, &shape, &here, &sizing, &mesh));
    return mesh;
}

static void for_each_mesh(void (*check)(const ll_mesh *mesh, int i))
{
    static const double fineness[] = {0.3, 0.5, 1, 1.7};
    for (int i = 0; i < SHAPES; i++)
        for (size_t f = 0; f < sizeof fineness / sizeof fineness[0]; f++) {
            ll_mesh *mesh = mesh_of(i, fineness[f]);
            check(mesh, i);
            ll_mesh_free(mesh);
        }
}

static ll_vec3 area_vector(const ll_mesh *mesh, size_t t)
{
    const int *n = mesh->triangle[t];
    const ll_vec3 a = mesh->node_m[n[0]];
    return ll_scale(0.5, ll_cross(ll_sub(mesh->node_m[n[1]], a), ll_sub(mesh->node_m[n[2]], a)));
}

/* ---- volume ---- */

static double tet_volume(const ll_mesh *mesh, size_t t)
{
    const int *n = mesh->tet[t];
    const ll_vec3 a = mesh->node_m[n[0]];
    return ll_dot(ll_cross(ll_sub(mesh->node_m[n[1]], a), ll_sub(mesh->node_m[n[2]], a)),
                  ll_sub(mesh->node_m[n[3]], a)) /
           6;
}

/* By tetrahedra, by Gauss's theorem over the surface, and by the shape's own formula: polygons keep the circle's area. */
static void check_volume(const ll_mesh *mesh, int i)
{
    const ll_shape shape = shape_at(i);
    const double expected = ll_shape_volume_m3(&shape);
    double by_tets = 0, by_surface = 0;
    for (size_t t = 0; t < mesh->tets; t++) {
        assert_true(tet_volume(mesh, t) > 0);
        by_tets += tet_volume(mesh, t);
    }
    for (size_t t = 0; t < mesh->triangles; t++)
        by_surface += ll_dot(area_vector(mesh, t), mesh->node_m[mesh->triangle[t][0]]) / 3;
    assert_relative(by_tets, expected, 1e-12);
    assert_relative(by_surface, expected, 1e-12);
    assert_relative(ll_mesh_volume_m3(mesh), expected, 1e-12);
}

static void tetrahedra_fill_the_shape_exactly(void **state)
{
    (void)state;
    for_each_mesh(check_volume);
}

/* ---- surface ---- */

/* Directed edges as numbers; an edge and its reverse stand for two triangles that meet. */
static int by_value(const void *a, const void *b)
{
    const long long x = *(const long long *)a, y = *(const long long *)b;
    return (x > y) - (x < y);
}

static long long edge_number(const ll_mesh *mesh, int from, int to)
{
    return (long long)from * (long long)mesh->nodes + to;
}

/* Every edge is walked once each way, and Euler's number is 2 for a ball and 0 for a ring. */
static void check_surface(const ll_mesh *mesh, int i)
{
    const size_t edges = 3 * mesh->triangles;
    long long *edge = calloc(edges, sizeof *edge);
    assert_non_null(edge);
    for (size_t k = 0; k < edges; k++) {
        const int *n = mesh->triangle[k / 3];
        edge[k] = edge_number(mesh, n[k % 3], n[(k + 1) % 3]);
    }
    qsort(edge, edges, sizeof *edge, by_value);
    for (size_t k = 0; k < edges; k++) {
        const int *n = mesh->triangle[k / 3];
        const long long back = edge_number(mesh, n[(k + 1) % 3], n[k % 3]);
        assert_true(k == 0 || edge[k] != edge[k - 1]);
        assert_non_null(bsearch(&back, edge, edges, sizeof *edge, by_value));
    }
    free(edge);
    assert_int_equal(mesh->surface_nodes + mesh->triangles - edges / 2,
                     shape_at(i).kind == LL_RING ? 0 : 2);
}

static void surface_is_closed_and_turned_outwards(void **state)
{
    (void)state;
    for_each_mesh(check_surface);
}

static void check_numbers(const ll_mesh *mesh, int i)
{
    (void)i;
    bool *used = calloc(mesh->nodes, sizeof *used);
    assert_non_null(used);
    for (size_t t = 0; t < mesh->triangles; t++)
        for (int k = 0; k < 3; k++) {
            assert_in_range(mesh->triangle[t][k], 0, mesh->surface_nodes - 1);
            used[mesh->triangle[t][k]] = true;
        }
    for (size_t n = 0; n < mesh->surface_nodes; n++)
        assert_true(used[n]);
    for (size_t t = 0; t < mesh->tets; t++)
        for (int k = 0; k < 4; k++) {
            assert_in_range(mesh->tet[t][k], 0, mesh->nodes - 1);
            used[mesh->tet[t][k]] = true;
        }
    for (size_t n = 0; n < mesh->nodes; n++)
        assert_true(used[n]);
    free(used);
}

static void surface_nodes_come_first_and_every_node_is_used(void **state)
{
    (void)state;
    for_each_mesh(check_numbers);
}

/* ---- corners ---- */

/* A corner belongs to one node, and its triangles lean on each other smoothly: less than a right angle from the first. */
static void check_corners(const ll_mesh *mesh, int i)
{
    (void)i;
    int *node = malloc(mesh->corners * sizeof *node);
    ll_vec3 *normal = malloc(mesh->corners * sizeof *normal);
    assert_non_null(node);
    assert_non_null(normal);
    for (size_t c = 0; c < mesh->corners; c++)
        node[c] = -1;
    for (size_t t = 0; t < mesh->triangles; t++)
        for (int k = 0; k < 3; k++) {
            const int c = mesh->corner[t][k];
            const ll_vec3 n = area_vector(mesh, t);
            assert_in_range(c, 0, mesh->corners - 1);
            if (node[c] < 0) {
                node[c] = mesh->triangle[t][k];
                normal[c] = n;
            }
            assert_int_equal(node[c], mesh->triangle[t][k]);
            assert_true(ll_dot(n, normal[c]) > 0.1 * ll_norm(n) * ll_norm(normal[c]));
        }
    for (size_t c = 0; c < mesh->corners; c++)
        assert_true(node[c] >= 0);
    free(node);
    free(normal);
}

static void corners_keep_to_one_node_and_one_smooth_piece(void **state)
{
    (void)state;
    for_each_mesh(check_corners);
}

/* Corners in excess of nodes: on a block 2 at each of the 8 vertices and 1 at each node along the 12 edges; on a
 * rod 1 at each node of its two rims. */
static void sharp_edges_carry_a_corner_for_each_face(void **state)
{
    (void)state;
    const ll_vec3 half = ll_scale(0.5, shape_at(0).size_m);
    ll_mesh *block = mesh_of(0, 1), *rod = mesh_of(2, 1);
    size_t extra = 0, rims = 0;
    double rim = 0;
    for (size_t n = 0; n < block->surface_nodes; n++) {
        const ll_vec3 p = block->node_m[n];
        const int faces = (fabs(fabs(p.x) - half.x) < 1e-9) + (fabs(fabs(p.y) - half.y) < 1e-9) +
                          (fabs(fabs(p.z) - half.z) < 1e-9);
        extra += (size_t)faces - 1;
    }
    assert_int_equal(block->corners - block->surface_nodes, extra);
    for (size_t n = 0; n < rod->surface_nodes; n++)
        rim = fmax(rim, hypot(rod->node_m[n].x, rod->node_m[n].y));
    for (size_t n = 0; n < rod->surface_nodes; n++) {
        const ll_vec3 p = rod->node_m[n];
        rims += fabs(fabs(p.z) - 9e-3) < 1e-9 && hypot(p.x, p.y) > rim - 1e-9;
    }
    assert_int_equal(rod->corners - rod->surface_nodes, rims);
    ll_mesh_free(block);
    ll_mesh_free(rod);
}

/* ---- refinement, refusals ---- */

static double longest_edge(const ll_mesh *mesh)
{
    double longest = 0;
    for (size_t t = 0; t < mesh->triangles; t++)
        for (int k = 0; k < 3; k++)
            longest = fmax(longest, ll_norm(ll_sub(mesh->node_m[mesh->triangle[t][k]],
                                                   mesh->node_m[mesh->triangle[t][(k + 1) % 3]])));
    return longest;
}

static void twice_the_fineness_halves_the_elements(void **state)
{
    (void)state;
    for (int i = 0; i < SHAPES; i++) {
        ll_mesh *coarse = mesh_of(i, 1), *fine = mesh_of(i, 2);
        const double ratio = (double)fine->triangles / (double)coarse->triangles;
        assert_true(ratio > 2.5 && ratio < 6);
        assert_true(longest_edge(fine) < 0.7 * longest_edge(coarse));
        ll_mesh_free(coarse);
        ll_mesh_free(fine);
    }
}

static void fineness_out_of_range_is_refused(void **state)
{
    (void)state;
    static const double refused[] = {0, -1, 0.05, 100, NAN, INFINITY};
    const ll_shape shape = shape_at(2);
    const ll_pose here = ll_pose_at(mm(0, 0, 0));
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        const ll_sizing sizing = {.fineness = refused[i], .edge = 1};
        ll_mesh *mesh = NULL;
        assert_int_equal(ll_mesh_new(1, &shape, &here, &sizing, &mesh), LL_BAD_VALUE);
        assert_null(mesh);
    }
    ll_mesh_free(NULL);
}

static void neighbours_can_limit_the_longest_element(void **state)
{
    (void)state;
    const ll_shape shape = shape_at(0);
    const ll_pose here = ll_pose_at(mm(0, 0, 0));
    const ll_sizing sizing = {1, 1, mm(2, 1, 0)};
    ll_mesh *mesh;
    assert_ok(ll_mesh_new(1, &shape, &here, &sizing, &mesh));
    for (size_t t = 0; t < mesh->triangles; t++)
        for (int k = 0; k < 3; k++) {
            const ll_vec3 edge = ll_sub(mesh->node_m[mesh->triangle[t][k]],
                                        mesh->node_m[mesh->triangle[t][(k + 1) % 3]]);
            assert_true(fabs(edge.x) < 2.01e-3 && fabs(edge.y) < 1.01e-3);
        }
    check_volume(mesh, 0);
    ll_mesh_free(mesh);
}

/* ---- several shapes in one piece ---- */

static double owned_volume(const ll_mesh *mesh, int owner)
{
    double sum = 0;
    for (size_t t = 0; t < mesh->tets; t++)
        sum += mesh->owner[t] == owner ? tet_volume(mesh, t) : 0;
    return sum;
}

/* A screw through a plate: the part named first keeps its volume, the other lacks what they share. In the plan the
 * circle is a polygon of the same area. */
static void overlapping_shapes_make_one_piece_with_the_first_as_owner(void **state)
{
    (void)state;
    const ll_shape shape[2] = {rod_mm(5, 18), block_mm(30, 12, 2)};
    const ll_pose pose[2] = {ll_pose_at(mm(4, 0, 0)), ll_pose_at(mm(0, 0, -5))};
    const ll_sizing sizing = {.fineness = 1, .edge = 1};
    const double rod = ll_shape_volume_m3(&shape[0]), plate = ll_shape_volume_m3(&shape[1]);
    const double shared = rod * 2 / 18;
    ll_mesh *mesh;
    assert_ok(ll_mesh_new(2, shape, pose, &sizing, &mesh));
    assert_relative(owned_volume(mesh, 0), rod, 1e-9);
    assert_relative(owned_volume(mesh, 1), plate - shared, 1e-9);
    check_surface(mesh, 0);
    check_numbers(mesh, 0);
    check_corners(mesh, 0);
    ll_mesh_free(mesh);
}

static void touching_shapes_share_no_surface(void **state)
{
    (void)state;
    const ll_shape shape[2] = {block_mm(10, 10, 4), block_mm(20, 6, 2)};
    const ll_pose pose[2] = {ll_pose_at(mm(0, 0, 2)), ll_pose_at(mm(0, 0, -1))};
    const ll_sizing sizing = {.fineness = 0.5, .edge = 1};
    ll_mesh *mesh;
    double area = 0;
    assert_ok(ll_mesh_new(2, shape, pose, &sizing, &mesh));
    for (size_t t = 0; t < mesh->triangles; t++)
        area += ll_norm(area_vector(mesh, t));
    /* Two blocks of 360 and 344 mm2, less the contact of 10 x 6 counted twice. */
    assert_relative(area, (360 + 344 - 120) * 1e-6, 1e-9);
    assert_relative(ll_mesh_volume_m3(mesh), (400 + 240) * 1e-9, 1e-9);
    check_surface(mesh, 0);
    ll_mesh_free(mesh);
}

/* Round pieces stand or fall with their axis along z; a block may lie on any side. */
static void only_prisms_along_z_fit(void **state)
{
    (void)state;
    const ll_shape rod = rod_mm(5, 18), block = block_mm(60, 10, 4);
    const ll_vec3 x = ll_vec(1, 0, 0), z = ll_vec(0, 0, 1);
    const struct {
        ll_vec3 axis;
        double turn_deg;
        bool rod, block;
    } cases[] = {
        {z, 0, true, true},   {z, 33, true, true},           {x, 180, true, true},
        {x, 90, false, true}, {{1, 1, 0}, 90, false, false}, {{1, 2, 3}, 40, false, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const ll_rotation r = ll_rotation_about(cases[i].axis, cases[i].turn_deg * LL_PI / 180);
        assert_int_equal(ll_mesh_fits(&rod, &r), cases[i].rod);
        assert_int_equal(ll_mesh_fits(&block, &r), cases[i].block);
    }
}

/* Six times the volume over twice the largest face: the least height, in metres. */
static double least_height(const ll_mesh *mesh, const int tet[4])
{
    double largest = 0;
    const ll_vec3 a = mesh->node_m[tet[0]], b = mesh->node_m[tet[1]], c = mesh->node_m[tet[2]],
                  d = mesh->node_m[tet[3]];
    const ll_vec3 corner[4][3] = {{a, b, c}, {a, b, d}, {a, c, d}, {b, c, d}};
    for (int k = 0; k < 4; k++)
        largest = fmax(largest, ll_norm(ll_cross(ll_sub(corner[k][1], corner[k][0]),
                                                 ll_sub(corner[k][2], corner[k][0]))));
    return fabs(ll_dot(ll_cross(ll_sub(b, a), ll_sub(c, a)), ll_sub(d, a))) / largest;
}

/* Points along the rim of a block lie on one line: they bound no tetrahedron of their own, however many there are. Flat ones
 * would have edges longer than their volume allows by far. */
static void joined_meshes_have_no_flat_tetrahedra(void **state)
{
    (void)state;
    ll_scene *scene = new_scene();
    for (int i = -1; i <= 1; i++)
        add_soft(scene, screw_mm(3, 16, 5, 2), mm(10 * i, 0, -6), 500);
    add_soft(scene, block_mm(40, 12, 2), mm(0, 0, -8), 500);
    for (double fineness = 0.5; fineness < 1.5; fineness += 0.1) {
        ll_body *body;
        size_t count;
        assert_ok(ll_bodies_find(scene, fineness, 2e-6, &body, &count));
        assert_int_equal(count, 1);
        const ll_mesh *mesh = body->form->mesh;
        for (size_t t = 0; t < mesh->tets; t++)
            assert_true(least_height(mesh, mesh->tet[t]) > 1e-5);
        ll_body_clear(body);
        free(body);
    }
    ll_scene_free(scene);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tetrahedra_fill_the_shape_exactly),
        cmocka_unit_test(surface_is_closed_and_turned_outwards),
        cmocka_unit_test(surface_nodes_come_first_and_every_node_is_used),
        cmocka_unit_test(corners_keep_to_one_node_and_one_smooth_piece),
        cmocka_unit_test(sharp_edges_carry_a_corner_for_each_face),
        cmocka_unit_test(twice_the_fineness_halves_the_elements),
        cmocka_unit_test(fineness_out_of_range_is_refused),
        cmocka_unit_test(neighbours_can_limit_the_longest_element),
        cmocka_unit_test(overlapping_shapes_make_one_piece_with_the_first_as_owner),
        cmocka_unit_test(touching_shapes_share_no_surface),
        cmocka_unit_test(joined_meshes_have_no_flat_tetrahedra),
        cmocka_unit_test(only_prisms_along_z_fit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
