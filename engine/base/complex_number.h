/* complex_number.h - a complex number that C and C++ lay out alike: real part, imaginary part. Functions take and give them by pointer.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_COMPLEX_NUMBER_H
#define LL_BASE_COMPLEX_NUMBER_H

#ifdef __cplusplus
#include <complex>
typedef std::complex<double> ll_complex;
#else
#include <complex.h>
typedef double complex ll_complex;
#endif

#endif
