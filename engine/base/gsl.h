/* gsl.h - the GNU Scientific Library as the engine uses it: its own handler of errors, which would end the process, is off from the
 * start, and every status is looked at. Whatever includes a header of GSL's includes this first. Internal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_GSL_H
#define LL_BASE_GSL_H

#include <gsl/gsl_errno.h>

__attribute__((constructor)) static inline void ll_quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

#endif
