/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/vectorised.h"

#include <stdlib.h>
#include <string.h>

int ll_kernel_level;

#if defined(__x86_64__) && defined(__GNUC__)
static int level_of_processor(void)
{
    __builtin_cpu_init();
    return __builtin_cpu_supports("x86-64-v4") ? 4 : __builtin_cpu_supports("x86-64-v3") ? 3 : 0;
}

__attribute__((constructor)) static void choose_level(void)
{
    const char *asked = getenv("LL_KERNELS");
    const int most = level_of_processor();
    const int least = !asked ? 4 : !strcmp(asked, "base") ? 0 : !strcmp(asked, "v3") ? 3 : 4;
    ll_kernel_level = least < most ? least : most;
}
#endif
