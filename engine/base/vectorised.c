/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/vectorised.h"
#include "base/kernels.h"

#include <stdlib.h>
#include <string.h>

int ll_kernel_level;

static const struct {
    const char *name;
    int level;
} levels[] = {{"base", 0}, {"v3", 3}, {"v4", 4}};
enum { LEVELS = sizeof levels / sizeof *levels };

/* LEVELS for a word that names none. */
static int find(const char *word)
{
    int k = 0;
    while (k < LEVELS && strcmp(levels[k].name, word) != 0)
        k++;
    return k;
}

const char *ll_kernels_unknown(void)
{
    const char *asked = getenv("LL_KERNELS");
    return asked && find(asked) == LEVELS ? asked : NULL;
}

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
    const int named = asked ? find(asked) : LEVELS;
    ll_kernel_level = named < LEVELS && levels[named].level < most ? levels[named].level : most;
}
#endif
