/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "version.h"
#include "base/api.h"

const char *ll_version(void)
{
    return LL_VERSION;
}
