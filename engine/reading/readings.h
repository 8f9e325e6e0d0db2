/* readings.h - what is read from a solution: the field anywhere, means over sections and magnets, the field of a coil and
 * inductances.
 *
 * SI units, the scene's axes: B in tesla, H in A/m, flux linkage in weber (turns included), positive for B along the coil's own
 * +z when it is wound counter-clockwise seen from +z. Several threads may read one solution. Outputs are left alone on failure.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_READING_READINGS_H
#define LL_READING_READINGS_H

#include "base/api.h"
#include "magnetics/solution.h"

LL_API_BEGIN

/* Bias flux density at n points; b_t[n]. Inside parts it is the field in the material. */
ll_status ll_solution_b(const ll_solution *s, size_t n, const ll_vec3 *points_m, ll_vec3 *b_t);

/* Mean of Bz over the cross-section of a part by the world plane z = z_m. LL_NO_PART, LL_OUTSIDE_PART. */
ll_status ll_solution_section_bz(const ll_solution *s, size_t part, double z_m, double *bz_t);

enum { LL_SECTIONS = 3 };

/* The same with two witnesses of the mesh's error, as one mean may agree on two meshes by chance: bz_t[LL_SECTIONS] at z_m,
 * above and below it. A witness beyond the part's end repeats the first. */
ll_status ll_solution_sections_bz(const ll_solution *s, size_t part, double z_m, double *bz_t);

/* Where a magnet works: means over its volume along its own magnetisation, so that B is positive and H negative as a rule.
 * lowest_h_a_m is the mean of the field that demagnetised it most: below h_a_m only where it was charged alone
 * and has come back up its recoil line. */
typedef struct ll_operating_point {
    double b_t, h_a_m, lowest_h_a_m;
} ll_operating_point;
/* LL_NO_PART when it is no magnet. */
ll_status ll_solution_operating_point(const ll_solution *s, size_t part, ll_operating_point *out);
/* Older names of the two. */
#define ll_working_point ll_operating_point
#define ll_solution_working_point ll_solution_operating_point

/* H of one ampere in a coil, steel included, at n points outside the parts; LL_NO_COIL. */
ll_status ll_solution_coil_h(const ll_solution *s, size_t coil, size_t n, const ll_vec3 *points_m,
                             ll_vec3 *h_per_m);

/* H of the bias, and of all coils that have a share, each ampere times it, at n points outside the parts in their order along a straight
 * line: what the calls above give, within some thousandths of what distant parts add, but cheaper. share NULL: the bias
 * alone. LL_NO_COIL. */
ll_status ll_solution_h_along(const ll_solution *s, const double *share, size_t n,
                              const ll_vec3 *points_m, ll_vec3 *h_a_m, ll_vec3 *h_coil_per_m);

/* Static inductance in henry, steel included: own (i == j) or mutual. LL_NO_COIL. */
ll_status ll_solution_inductance(const ll_solution *s, size_t coil_i, size_t coil_j, double *l_h);
/* The same without the parts. */
ll_status ll_solution_air_inductance(const ll_solution *s, size_t coil_i, size_t coil_j,
                                     double *l_h);

/* The steel's own answer to a magnetised string: what the parts add when small magnetic charges (charge_a_m[m] in A m, summing to zero)
 * are brought to places outside them. tolerance: where the solver stops, of what it began with; 1e-4 gives the answer to about
 * 0.1 % of itself, 1e-2 to some per cent in half the time. The solution must outlive *out, which the caller frees. */
typedef struct ll_response ll_response;
ll_status ll_response_new(const ll_solution *s, double tolerance, size_t m,
                          const ll_vec3 *charges_at_m, const double *charge_a_m, ll_response **out);
void ll_response_free(ll_response *response);
/* Adds the answer to more charges; tolerance is of what they begin with. A failure leaves the response as it was. */
ll_status ll_response_add(ll_response *response, double tolerance, size_t m,
                          const ll_vec3 *charges_at_m, const double *charge_a_m);
/* Its H in A/m at n points in their order along a straight line. */
ll_status ll_response_h(const ll_response *response, size_t n, const ll_vec3 *points_m,
                        ll_vec3 *h_a_m);

LL_API_END

#endif
