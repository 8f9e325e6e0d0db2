/* magnet_grades.c - magnet grades with typical figures at 20 C.
 *
 * Where a source gives a range, the row has its middle, and for a coercive field given as a minimum that minimum.
 * Ferrites and rare-earth magnets follow their recoil line; the row's coercive field then says where a
 * real one would leave it. AlNiCo bends from the start and follows a curve.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/tables.h"

#define MMPA "MMPA 0100-00 (from memory)"
#define FEMM "curve and conductivity: FEMM 4.2 matlib.dat, October 2023 (READ)"
#define ALNICO_SOURCE FEMM "; recoil, density, temperature: " MMPA
#define ALNICO_5_SOURCE FEMM "; density, temperature: tmcmagnetics.com table3 (READ); recoil: " MMPA
#define FERRITE_US "figures: jingxin-magnet.com, US industry table (READ); recoil: " MMPA
#define FERRITE_CN                                                                                 \
    "figures: magneticalloy.com, SJ285-77 (READ); recoil: low end of 1.05 to 1.3, "                \
    "jingxin-magnet.com (READ)"
#define NDFEB                                                                                      \
    "figures: chinamagnetfactory.com magnet-standards (READ); recoil, temperature, density: "      \
    "china-magnet.net (READ); conductivity: FEMM 4.2 matlib.dat (READ)"
#define SMCO "figures, temperature: horizonmagnets.com (READ); recoil, density, conductivity: " MMPA

/* kind, curve, {name, group, remanence T, HcB A/m, recoil, Js T, conductivity S/m, density kg/m3,
 * remanence per K, source, note} */
static const ll_table_entry grades[] = {
    {LL_MAGNET,
     &ll_curve_lng12,
     {"AlNiCo 2", "magnet", 0.72, 45.12e3, 6.4, 0, 1.5e6, 7100, -0.0003, ALNICO_SOURCE,
      "cast LNG12, 12.5 kJ/m3; MMPA lists 0.75 T, 44.6 kA/m, 13.5 kJ/m3, sintered 0.71 T"}},
    {LL_MAGNET,
     &ll_curve_lng10,
     {"AlNiCo 3", "magnet", 0.606, 44.2e3, 6.5, 0, 1.7e6, 6900, 0, ALNICO_SOURCE,
      "cast LNG10, 10.3 kJ/m3; MMPA lists 0.70 T, 38.2 kA/m, 10.7 kJ/m3; awork-magnet.com 0.65 T"}},
    {LL_MAGNET,
     &ll_curve_alnico_4,
     {"AlNiCo 4", "magnet", 0.56, 57e3, 4.1, 0, 1.33e6, 7000, 0,
      "0.56 T, 57 kA/m, 10.7 kJ/m3: older handbooks (from memory); density, conductivity: " MMPA,
      "no measured curve: the hyperbola through these three figures; recoil is its slope at H = "
      "0"}},
    {LL_MAGNET,
     &ll_curve_alnico_5,
     {"AlNiCo 5", "magnet", 1.254, 50.96e3, 4.3, 0, 2.25e6, 7300, -0.0002, ALNICO_5_SOURCE,
      "of four curves the one with MMPA's 50.9 kA/m and 43.8 kJ/m3 (its 1.28 T is 2 % more); "
      "recoil "
      "3.6 and 2.13 MS/m by tmcmagnetics.com"}},
    {LL_MAGNET,
     &ll_curve_alnico_8,
     {"AlNiCo 8", "magnet", 0.8036, 109.3e3, 2.0, 0, 2.25e6, 7300, -0.00025, ALNICO_SOURCE,
      "30.7 kJ/m3, a weak example: MMPA lists 0.82 T, 131 kA/m, 42.2 kJ/m3; makers 0.83 to 0.90 T, "
      "110 to 123 kA/m"}},
    {LL_MAGNET,
     &ll_curve_lng37,
     {"AlNiCo LNG37", "magnet", 1.204, 48.6e3, 4.3, 0, 2.1e6, 7300, -0.0002, ALNICO_5_SOURCE,
      "a cast AlNiCo 5 of 37 kJ/m3"}},
    {LL_MAGNET,
     &ll_curve_lng40,
     {"AlNiCo LNG40", "magnet", 1.225, 51.02e3, 4.3, 0, 2.1e6, 7300, -0.0002, ALNICO_5_SOURCE,
      "a cast AlNiCo 5 of 40 kJ/m3"}},
    {LL_MAGNET,
     &ll_curve_lng44,
     {"AlNiCo LNG44", "magnet", 1.252, 54.06e3, 4.3, 0, 2.1e6, 7300, -0.0002, ALNICO_5_SOURCE,
      "a cast AlNiCo 5 of 44 kJ/m3"}},

    {LL_MAGNET,
     NULL,
     {"ferrite C1", "magnet", 0.230, 148e3, 1.10, 0, 0, 4900, -0.002, FERRITE_US,
      "FEMM's curve has 1.16 near H = 0 and 1.25 over the whole quadrant"}},
    {LL_MAGNET,
     NULL,
     {"ferrite C5", "magnet", 0.380, 191e3, 1.05, 0, 0, 4900, -0.002, FERRITE_US,
      "FEMM's curve has 0.3915 T and leaves its line near -155 kA/m"}},
    {LL_MAGNET,
     NULL,
     {"ferrite C7", "magnet", 0.370, 270e3, 1.05, 0, 0, 4900, -0.002, FERRITE_US,
      "remanence +-0.01 T"}},
    {LL_MAGNET,
     NULL,
     {"ferrite C8", "magnet", 0.390, 231e3, 1.05, 0, 0, 4900, -0.002, FERRITE_US,
      "the grade C8A, remanence +-0.01 T; SJ285-77 has 0.385 to 0.390 T, 235 to 255 kA/m"}},
    {LL_MAGNET,
     NULL,
     {"ferrite C8B", "magnet", 0.410, 231e3, 1.05, 0, 0, 4900, -0.002, FERRITE_US,
      "remanence +-0.01 T"}},
    {LL_MAGNET,
     NULL,
     {"ferrite C10", "magnet", 0.400, 267e3, 1.05, 0, 0, 4900, -0.002, FERRITE_US,
      "remanence +-0.01 T"}},
    {LL_MAGNET,
     NULL,
     {"ferrite C11", "magnet", 0.420, 223e3, 1.05, 0, 0, 4900, -0.002, FERRITE_US,
      "remanence +-0.01 T"}},
    {LL_MAGNET,
     NULL,
     {"ferrite Y10T", "magnet", 0.209, 135e3, 1.10, 0, 0, 4900, -0.002, FERRITE_CN,
      "isotropic, near C1; 0.200 to 0.218 T; recoil as C1"}},
    {LL_MAGNET,
     NULL,
     {"ferrite Y25", "magnet", 0.365, 142.5e3, 1.05, 0, 0, 4900, -0.002, FERRITE_CN,
      "0.36 to 0.37 T, 135 to 150 kA/m: leaves the line early"}},
    {LL_MAGNET,
     NULL,
     {"ferrite Y30", "magnet", 0.3825, 200.5e3, 1.05, 0, 0, 4900, -0.002, FERRITE_CN,
      "near C5; 0.380 to 0.385 T, 191 to 210 kA/m; FEMM's curve rises slower than vacuum, not "
      "used"}},
    {LL_MAGNET,
     NULL,
     {"ferrite Y30BH", "magnet", 0.385, 229e3, 1.05, 0, 0, 4900, -0.002, FERRITE_CN,
      "0.38 to 0.39 T, 223 to 235 kA/m"}},
    {LL_MAGNET,
     NULL,
     {"ferrite Y33", "magnet", 0.415, 227.5e3, 1.05, 0, 0, 4900, -0.002, FERRITE_CN,
      "0.41 to 0.42 T, 220 to 235 kA/m"}},
    {LL_MAGNET,
     NULL,
     {"ferrite Y35", "magnet", 0.405, 185e3, 1.05, 0, 0, 4900, -0.002, FERRITE_CN,
      "0.40 to 0.41 T, 175 to 195 kA/m"}},

    {LL_MAGNET,
     NULL,
     {"NdFeB N35", "magnet", 1.195, 868e3, 1.05, 0, 0.667e6, 7550, -0.00115, NDFEB,
      "1.17 to 1.22 T"}},
    {LL_MAGNET,
     NULL,
     {"NdFeB N38", "magnet", 1.235, 899e3, 1.05, 0, 0.667e6, 7550, -0.00115, NDFEB,
      "1.22 to 1.25 T"}},
    {LL_MAGNET,
     NULL,
     {"NdFeB N40", "magnet", 1.265, 907e3, 1.05, 0, 0.667e6, 7550, -0.00115, NDFEB,
      "1.25 to 1.28 T"}},
    {LL_MAGNET,
     NULL,
     {"NdFeB N42", "magnet", 1.30, 915e3, 1.05, 0, 0.667e6, 7550, -0.00115, NDFEB,
      "1.28 to 1.32 T"}},
    {LL_MAGNET,
     NULL,
     {"NdFeB N45", "magnet", 1.35, 923e3, 1.05, 0, 0.667e6, 7550, -0.00115, NDFEB,
      "1.32 to 1.38 T"}},
    {LL_MAGNET,
     NULL,
     {"NdFeB N48", "magnet", 1.40, 923e3, 1.05, 0, 0.667e6, 7550, -0.00115, NDFEB,
      "1.38 to 1.42 T"}},
    {LL_MAGNET,
     NULL,
     {"NdFeB N50", "magnet", 1.425, 796e3, 1.05, 0, 0.667e6, 7550, -0.00115, NDFEB,
      "1.40 to 1.45 T; leaves the line before HcB, as FEMM's N52 does from -776 kA/m on"}},
    {LL_MAGNET,
     NULL,
     {"NdFeB N52", "magnet", 1.455, 796e3, 1.05, 0, 0.667e6, 7550, -0.00115, NDFEB,
      "1.43 to 1.48 T; leaves the line before HcB: FEMM's curve from -776 kA/m on"}},

    {LL_MAGNET,
     NULL,
     {"SmCo5", "magnet", 0.87, 672e3, 1.05, 0, 1.9e6, 8300, -0.0004, SMCO,
      "the grade YX18, 0.84 to 0.90 T; YX24 has 0.95 to 1.00 T"}},
    {LL_MAGNET,
     NULL,
     {"Sm2Co17", "magnet", 0.985, 728e3, 1.05, 0, 1.16e6, 8400, -0.0003, SMCO,
      "the grade YXG24, 0.95 to 1.02 T; recoil 1.10 in FEMM 4.2 matlib.dat"}},
};

const ll_table ll_magnet_grades = {LL_COUNT_OF(grades), grades};
