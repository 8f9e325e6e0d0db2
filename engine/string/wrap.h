/* wrap.h - the magnetic wrap of a wound string: what it adds to the string's moment along it and across it. Private to this
 * folder.
 *
 * Close turns of round wire are to a field along the string as bars side by side in a field along their row. A hundredth of
 * their thickness apart their moment for each length is, by finite elements of one period (tests/reference/decks, R14),
 *   area H / (0.039 + 1.28 / chi)
 * bending off as an arctangent where the bars are full. Touching bars would have half as much again, bars a tenth apart a
 * third: lacquer, plating and how tight it was wound make it uncertain by a factor of two. SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_WRAP_H
#define LL_STRING_WRAP_H

#include "string/string.h"

typedef struct ll_wrap {
    double slope_m2; /* moment for each length over a weak field; 0: no wrap */
    double most_a_m; /* the moment that it cannot exceed, A m */
} ll_wrap;

/* That of the string; nothing for a string without a magnetic wrap. */
ll_wrap ll_wrap_of(const ll_string *string);

/* Moment for each length at an axial field, A m, and its slope, m2. slope may be NULL. */
double ll_wrap_moment(const ll_wrap *wrap, double h_a_m, double *slope_m2);

/* Whether the string has one. */
bool ll_string_is_wrapped(const ll_string *string);

#endif
