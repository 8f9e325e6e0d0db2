/* hearing.h - what coils hear of a string: how much of the linkage's slope each place along it has.
 *
 * By reciprocity, for a string that carries the charge q for each length in the bias field H and the charge q_c in the field
 * H_c of one ampere, moved a little sideways by u(y),
 *   d(linkage) = mu0 integral (q_c H_u + q H_c,u) u dy  +  mu0 A integral a d(H . H_c across the string)/du u dy,
 * a the ratio of M to H across a round wire; H and H_c hold the steel's answer to the string. It comes from one place of the
 * string, where ll_string_linkage needs two: the two routes must agree. That a slanting string turns its crosswise
 * magnetisation is left out: it moves some of the small second part along the string and changes no total.
 * SI units; weber with turns included. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_HEARING_H
#define LL_STRING_HEARING_H

#include "base/api.h"
#include "string/linkage_map.h"
#include "string/string.h"

LL_API_BEGIN

/* Along y, linear between the points. */
typedef struct ll_hearing {
    size_t points;
    double *y_m;
    double *dz_wb_m2, *dx_wb_m2; /* for each length, of a movement up and to the treble side */
} ll_hearing;

/* share[coils of the scene]: the factor with which each coil counts, such as +1 and -1 of two coils that oppose. The caller
 * frees *out. LL_BAD_SIZE, LL_STRING_IN_PART, LL_NO_CONVERGENCE, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_hearing_new(const ll_solution *s, const double *share, const ll_string *string,
                         ll_hearing **out);
void ll_hearing_free(ll_hearing *hearing);

/* Their integrals: the slopes for a string that moves as a whole. */
void ll_hearing_total(const ll_hearing *hearing, double *dz_wb_m, double *dx_wb_m);

/* d(linkage)/dz alone, of a string that moves as a whole, for each of `count` sets share[count][coils of the scene]. What the steel
 * answers to the string is some hundredths of it: without (`answered` false) it costs a small part, and what differs between builds that
 * have the same steel differs alike. Statuses as ll_hearing_new; dz_wb_m[count] may hold some values when it fails. */
ll_status ll_hearing_slopes(const ll_solution *s, bool answered, size_t count, const double *share,
                            const ll_string *string, double *dz_wb_m);

/* Counts y from the bridge, of which y = 0 was from_bridge_m away. */
void ll_hearing_from_bridge(ll_hearing *hearing, double from_bridge_m);

/* As an aperture, of the direction in which the string is heard more: that in which the shape of the other hardly counts. It lives
 * as long as the hearing. */
ll_aperture ll_hearing_aperture(const ll_hearing *hearing);

/* The linkage for movements of up to half_x_m and half_z_m each way, as a map with the given aperture.
 * LL_BAD_VALUE for a string that is silent or heard nowhere; statuses as above, and of ll_linkage_map_new. */
ll_status ll_hearing_map(const ll_solution *s, const double *share, const ll_string *string,
                         const ll_aperture *aperture, double half_x_m, double half_z_m,
                         ll_linkage_map **out);

LL_API_END

#endif
