/* sanitized.h - LL_SANITIZED is defined in a build under the address sanitizer, which takes terabytes of addresses and looks into
 * the process from another one.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_SANITIZED_H
#define LL_HOST_SANITIZED_H

#if defined(__SANITIZE_ADDRESS__)
#define LL_SANITIZED
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define LL_SANITIZED
#endif
#endif

#endif
