/* vectorised.h - a kernel is compiled once for each level of vector instructions of x86-64 (base, v3 with AVX2, v4 with
 * AVX-512); the highest that the processor has is taken, or a lower one that the environment names with LL_KERNELS, so
 * that one machine can test them all.
 *
 *     static LL_VECTORISED(twice, (size_t n, double *x), (n, x))
 *     {
 *         for (size_t i = 0; i < n; i++)
 *             x[i] *= 2;
 *     }
 *
 * A kernel gives nothing back: what it finds goes where a pointer tells.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_VECTORISED_H
#define LL_BASE_VECTORISED_H

/* 0 (base), 3 or 4; set before main begins. */
extern int ll_kernel_level;

#if defined(__x86_64__) && defined(__GNUC__)
#define LL_VECTORISED(name, parameters, arguments)                                                 \
    void name parameters;                                                                          \
    static inline __attribute__((always_inline)) void name##_at_any parameters;                    \
    __attribute__((target("arch=x86-64-v4"))) static void name##_at_v4 parameters                  \
    {                                                                                              \
        name##_at_any arguments;                                                                   \
    }                                                                                              \
    __attribute__((target("arch=x86-64-v3"))) static void name##_at_v3 parameters                  \
    {                                                                                              \
        name##_at_any arguments;                                                                   \
    }                                                                                              \
    void name parameters                                                                           \
    {                                                                                              \
        if (ll_kernel_level == 4)                                                                  \
            name##_at_v4 arguments;                                                                \
        else if (ll_kernel_level == 3)                                                             \
            name##_at_v3 arguments;                                                                \
        else                                                                                       \
            name##_at_any arguments;                                                               \
    }                                                                                              \
    static inline __attribute__((always_inline)) void name##_at_any parameters
#else
#define LL_VECTORISED(name, parameters, arguments) void name parameters
#endif

#endif
