/* soft_steels.c - soft magnetic irons and steels.
 *
 * mu_r is the slope at the first points of the curve, which stand at 80 A/m or more; below them real
 * steel is softer by up to half, and cold work lowers the whole lower part of a curve.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/tables.h"

#define FEMM "curve and conductivity: FEMM 4.2 matlib.dat, October 2023 (READ); density from memory"
#define FEMM_STAINLESS                                                                             \
    "curve: FEMM 4.2 matlib.dat, October 2023 (READ), which lacks the conductivity; that and the " \
    "density: steel handbooks (from memory)"

/* kind, curve, {name, group, 0, 0, initial mu_r, Js T, conductivity S/m, density kg/m3, 0, source, note} */
static const ll_table_entry steels[] = {
    {LL_STEEL,
     &ll_curve_steel_1006,
     {"steel 1006", "steel", 0, 0, 3883, 0, 5.8e6, 7870, 0, FEMM,
      "the library's own initial value is 1404"}},
    {LL_STEEL,
     &ll_curve_steel_1010,
     {"steel 1010", "steel", 0, 0, 2119, 0, 5.8e6, 7870, 0, FEMM,
      "a second published curve agrees within 6 % above 1.5 T but has a third to a half of the B "
      "below 500 A/m; the library's own initial value is 903"}},
    {LL_STEEL,
     &ll_curve_steel_1018,
     {"steel 1018", "steel", 0, 0, 834.3, 0, 5.8e6, 7870, 0, FEMM,
      "the library's own initial value is 529"}},
    {LL_STEEL,
     &ll_curve_steel_1020,
     {"steel 1020", "steel", 0, 0, 1663, 0, 5.8e6, 7870, 0, FEMM,
      "the library's own initial value is 760"}},
    {LL_STEEL,
     &ll_curve_cold_drawn,
     {"cold drawn steel", "steel", 0, 0, 878.6, 0, 8.41e6, 7870, 0, FEMM,
      "carbon steel drawn and then annealed"}},
    {LL_STEEL,
     &ll_curve_pure_iron,
     {"pure iron", "steel", 0, 0, 13003, 0, 10.44e6, 7870, 0, FEMM,
      "annealed; the library's own initial value is 14870"}},
    {LL_STEEL,
     &ll_curve_stainless_416,
     {"stainless 416", "steel", 0, 0, 501, 0, 1.75e6, 7750, 0, FEMM_STAINLESS,
      "0.57 micro-ohm metre; the library's own initial value is 440"}},
    {LL_STEEL,
     &ll_curve_stainless_430,
     {"stainless 430", "steel", 0, 0, 501, 0, 1.67e6, 7750, 0, FEMM_STAINLESS,
      "0.60 micro-ohm metre; the library's own initial value is 409"}},
};

const ll_table ll_soft_steels = {LL_COUNT_OF(steels), steels};
