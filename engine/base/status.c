/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/status.h"

#define LL_STATUS_TEXT(code, text) text,
static const char *const texts[] = {LL_STATUS_TABLE(LL_STATUS_TEXT)};

const char *ll_status_text(ll_status status)
{
    if ((unsigned)status >= LL_STATUS_COUNT)
        return "unknown status";
    return texts[status];
}
