/* test_vectorised.c - kernels at every level of vector instructions.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#define _POSIX_C_SOURCE 200112L /* setenv */
#include "base/kernels.h"
#include "base/vectorised.h"
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static LL_VECTORISED(which, (int *level), (level))
{
#ifdef __x86_64__
    *level = ll_kernel_level;
#else
    *level = 0;
#endif
}

static int level_of_processor(void)
{
#ifdef __x86_64__
    return __builtin_cpu_supports("avx512vl") ? 4 : __builtin_cpu_supports("avx2") ? 3 : 0;
#else
    return 0;
#endif
}

/* A word that is no level is told, and the processor's own level stands. */
static void a_word_that_is_no_level_is_told(void **state)
{
    (void)state;
    assert_null(ll_kernels_unknown());
    const char *asked = getenv("LL_KERNELS");
    char before[16] = "";
    if (asked)
        snprintf(before, sizeof before, "%s", asked);
    static const char *const wrong[] = {"", "v2", "V3", "v5", "avx2", "base "};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        assert_int_equal(setenv("LL_KERNELS", wrong[i], 1), 0);
        assert_string_equal(ll_kernels_unknown(), wrong[i]);
    }
    assert_int_equal(asked ? setenv("LL_KERNELS", before, 1) : unsetenv("LL_KERNELS"), 0);
    assert_null(ll_kernels_unknown());
}

/* What the environment asks for as tests/CMakeLists.txt does; more than the processor has is not given. */
static void the_level_is_the_one_asked_for(void **state)
{
    (void)state;
    const char *asked = getenv("LL_KERNELS");
    const int most = level_of_processor();
    const int wanted = !asked ? most : strcmp(asked, "base") == 0 ? 0 : asked[1] - '0';
    int level = -1;
    which(&level);
    assert_int_equal(level, wanted < most ? wanted : most);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_level_is_the_one_asked_for),
        cmocka_unit_test(a_word_that_is_no_level_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
