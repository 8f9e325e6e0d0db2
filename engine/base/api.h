/* api.h - what every public header stands between, and the version. Between LL_API_BEGIN and LL_API_END functions have C linkage for C++
 * programs, and the shared library shows them; whatever else it is made of stays inside.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_API_H
#define LL_BASE_API_H

#ifdef __cplusplus
#define LL_EXTERN_C_BEGIN extern "C" {
#define LL_EXTERN_C_END }
#else
#define LL_EXTERN_C_BEGIN
#define LL_EXTERN_C_END
#endif

#define LL_API_BEGIN LL_EXTERN_C_BEGIN _Pragma("GCC visibility push(default)")
#define LL_API_END _Pragma("GCC visibility pop") LL_EXTERN_C_END

LL_API_BEGIN

/* "MAJOR.MINOR.PATCH" of the library that is linked; that of the headers is LL_VERSION, in version.h. */
const char *ll_version(void);

LL_API_END

#endif
