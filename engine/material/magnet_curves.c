/* magnet_curves.c - demagnetisation curves: {H in A/m, B in T} over the second quadrant.
 *
 * Read in the material library of FEMM 4.2 (D. Meeker, release of October 2023, bin/matlib.dat), which keeps H
 * shifted by the coercive field; it is shifted back here. LNGxx carries the nominal (BH)max in kJ/m3.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/tables.h"

/* clang-format off */
static const double lng12[][2] = {
    {-45.12e3, 0}, {-41.55e3, 0.1474}, {-35.22e3, 0.3175}, {-26.06e3, 0.4792},
    {-16.81e3, 0.5847}, {-10.98e3, 0.6372}, {0, 0.72},
};

static const double lng10[][2] = {
    {-44.20e3, 0}, {-41.50e3, 0.0975}, {-37.30e3, 0.207}, {-28.70e3, 0.358}, {-17.10e3, 0.484},
    {0, 0.606},
};

/* No measured curve of AlNiCo 4 was found. This is the rectangular hyperbola through its remanence and coercive
 * field that also meets its (BH)max, 0.56 T, 57 kA/m and 10.7 kJ/m3 (older handbooks, from memory):
 *   B = Br (Hc + H) / (Hc + a H),  a = (2 sqrt(g) - 1) / g = 0.4712,  g = (BH)max / (Br Hc) */
static const double alnico_4[][2] = {
    {-57.00e3, 0}, {-52.25e3, 0.0821}, {-47.50e3, 0.1537}, {-42.75e3, 0.2165}, {-38.00e3, 0.2722},
    {-33.25e3, 0.3218}, {-28.50e3, 0.3663}, {-23.75e3, 0.4065}, {-19.00e3, 0.4429},
    {-14.25e3, 0.4761}, {-9.50e3, 0.5064}, {-4.75e3, 0.5343}, {0, 0.56},
};

static const double alnico_5[][2] = {
    {-50.96e3, 0}, {-50.71e3, 0.1256}, {-50.26e3, 0.3083}, {-49.51e3, 0.4833},
    {-48.80e3, 0.6173}, {-47.94e3, 0.755}, {-47.12e3, 0.8441}, {-45.85e3, 0.9293},
    {-44.47e3, 0.9808}, {-42.94e3, 1.025}, {-41.73e3, 1.046}, {-39.92e3, 1.071},
    {-38.11e3, 1.093}, {-36.31e3, 1.107}, {-34.06e3, 1.124}, {-31.82e3, 1.138},
    {-29.72e3, 1.152}, {-27.17e3, 1.165}, {-24.78e3, 1.175}, {-20.89e3, 1.192},
    {-17.60e3, 1.205}, {-14.31e3, 1.218}, {-11.47e3, 1.227}, {-6.99e3, 1.24}, {-3.26e3, 1.249},
    {0, 1.254},
};

static const double lng37[][2] = {
    {-48.60e3, 0}, {-47.00e3, 0.2781}, {-44.50e3, 0.6383}, {-42.30e3, 0.8234},
    {-40.00e3, 0.9214}, {-35.20e3, 1.013}, {-30.40e3, 1.064}, {-24.30e3, 1.106},
    {-15.60e3, 1.149}, {-6.07e3, 1.184}, {0, 1.204},
};

static const double lng40[][2] = {
    {-51.02e3, 0}, {-49.91e3, 0.1883}, {-48.73e3, 0.3767}, {-47.40e3, 0.5777},
    {-45.44e3, 0.792}, {-40.81e3, 0.9799}, {-32.88e3, 1.086}, {-24.21e3, 1.14},
    {-15.90e3, 1.175}, {-7.92e3, 1.201}, {0, 1.225},
};

static const double lng44[][2] = {
    {-54.06e3, 0}, {-52.03e3, 0.3861}, {-49.70e3, 0.693}, {-46.57e3, 0.9148}, {-43.05e3, 1.023},
    {-37.68e3, 1.097}, {-23.10e3, 1.181}, {-12.69e3, 1.217}, {0, 1.252},
};

static const double alnico_8[][2] = {
    {-109.30e3, 0}, {-100.96e3, 0.1154}, {-90.79e3, 0.2344}, {-84.43e3, 0.3043},
    {-79.49e3, 0.3567}, {-69.33e3, 0.4434}, {-54.53e3, 0.5432}, {-31.70e3, 0.6657},
    {-14.09e3, 0.7467}, {0, 0.8036},
};
/* clang-format on */

const ll_curve ll_curve_lng12 = {LL_COUNT_OF(lng12), lng12};
const ll_curve ll_curve_lng10 = {LL_COUNT_OF(lng10), lng10};
const ll_curve ll_curve_alnico_4 = {LL_COUNT_OF(alnico_4), alnico_4};
const ll_curve ll_curve_alnico_5 = {LL_COUNT_OF(alnico_5), alnico_5};
const ll_curve ll_curve_lng37 = {LL_COUNT_OF(lng37), lng37};
const ll_curve ll_curve_lng40 = {LL_COUNT_OF(lng40), lng40};
const ll_curve ll_curve_lng44 = {LL_COUNT_OF(lng44), lng44};
const ll_curve ll_curve_alnico_8 = {LL_COUNT_OF(alnico_8), alnico_8};
