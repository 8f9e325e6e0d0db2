/* along.h - how a string over a pickup is magnetised, and pulled at, place by place along it.
 *
 * SI units; axes as in string.h. The string is at rest in the bias field, with its own and the steel's answer.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_ALONG_H
#define LL_STRING_ALONG_H

#include "base/api.h"
#include "string/string.h"

LL_API_BEGIN

typedef struct ll_string_place {
    double m_along_a_m, b_along_t; /* of the core, mean over its section */
    double m_x_a_m,
        m_z_a_m; /* across: of the core, or of the whole of a string with a magnetic wrap */
    double force_x_n_m, force_z_n_m; /* pull for each length, as in ll_pull; down is negative */
} ll_string_place;

/* Of the string at rest at n places y_m, any order, into places[n]. Zero where all parts and coils are more than 80 mm away along the
 * string, and of a string without magnetism. LL_BAD_VALUE for a place that is not finite, LL_BAD_SIZE, LL_STRING_IN_PART,
 * LL_NO_CONVERGENCE, LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_string_along(const ll_solution *s, const ll_string *string, size_t n,
                          const double *y_m, ll_string_place *places);

LL_API_END

#endif
