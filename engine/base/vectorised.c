/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/vectorised.h"

#include <stdlib.h>
#include <string.h>

int ll_kernel_level;

#if defined(__x86_64__) && defined(__GNUC__)
/* What the levels' names stand for in the psABI of x86-64; not every compiler knows the names here. */
static int level_of_processor(void)
{
    __builtin_cpu_init();
    const int v3 = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") &&
                   __builtin_cpu_supports("bmi") && __builtin_cpu_supports("bmi2");
    const int v4 = __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512bw") &&
                   __builtin_cpu_supports("avx512cd") && __builtin_cpu_supports("avx512dq") &&
                   __builtin_cpu_supports("avx512vl");
    return !v3 ? 0 : v4 ? 4 : 3;
}

__attribute__((constructor)) static void choose_level(void)
{
    const char *asked = getenv("LL_KERNELS");
    const int most = level_of_processor();
    const int least = !asked ? 4 : !strcmp(asked, "base") ? 0 : !strcmp(asked, "v3") ? 3 : 4;
    ll_kernel_level = least < most ? least : most;
}
#endif
