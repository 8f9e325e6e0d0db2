/* dulling.h - how far eddy currents in poles, covers and plates dull a string, over frequency.
 *
 * By reciprocity (see hearing.h) a string is heard through the field of one ampere in the coil; what eddy currents change of that
 * field, they change of what is heard. The steel's answer to the string within the change is left out: it is a few per cent
 * of the change.
 * SI units; phasors with exp(+j w t). SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_DULLING_H
#define LL_STRING_DULLING_H

#include "base/api.h"
#include "eddies/eddies.h"
#include "string/string.h"

LL_API_BEGIN

/* Change of d(linkage)/dz of the string at rest, in Wb/m, at each of f_hz[count]; share[coils] as in ll_hearing_new. To be
 * added to the static slope. LL_BAD_SIZE, LL_STRING_IN_PART, LL_NO_CONVERGENCE, LL_NO_MEMORY. */
ll_status ll_dulling(const ll_eddies *eddies, const double *share, const ll_string *string,
                     size_t count, const double *f_hz, ll_complex *change_wb_m);

LL_API_END

#endif
