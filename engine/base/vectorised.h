/* vectorised.h - marks a function that is compiled once for each level of vector instructions; the right one is
 * taken when the program starts. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_VECTORISED_H
#define LL_BASE_VECTORISED_H

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) &&                             \
    !defined(__SANITIZE_ADDRESS__)
#define LL_VECTORISED __attribute__((target_clones("arch=x86-64-v4", "arch=x86-64-v3", "default")))
#else
#define LL_VECTORISED
#endif

#endif
