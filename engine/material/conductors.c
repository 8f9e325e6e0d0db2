/* conductors.c - metals that carry eddy currents and are not magnetic.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/tables.h"

/* kind, no curve, {name, group, 0, 0, 1, 0, conductivity S/m, density kg/m3, 0, source, note} */
static const ll_table_entry metals[] = {
    {LL_CONDUCTOR,
     NULL,
     {"brass", "conductor", 0, 0, 1, 0, 15e6, 8500, 0, "handbook values (from memory)",
      "alloys from 14 to 17 MS/m (CuZn37 to CuZn30), leaded ones 15"}},
    {LL_CONDUCTOR,
     NULL,
     {"nickel silver", "conductor", 0, 0, 1, 0, 3.4e6, 8700, 0, "handbook values (from memory)",
      "12 to 18 % nickel: 4.4 to 3.2 MS/m"}},
    {LL_CONDUCTOR,
     NULL,
     {"copper", "conductor", 0, 0, 1, 0, 58.0e6, 8890, 0,
      "IEC 60028 (1925), 100 % IACS (from memory)", ""}},
    {LL_CONDUCTOR,
     NULL,
     {"aluminium", "conductor", 0, 0, 1, 0, 24.6e6, 2700, 0, "handbook values (from memory)",
      "the alloy 6061; pure aluminium has 37 MS/m"}},
    {LL_CONDUCTOR,
     NULL,
     {"stainless 304", "conductor", 0, 0, 1, 0, 1.39e6, 8000, 0,
      "annealed, 0.72 micro-ohm metre: handbook values (from memory)",
      "cold work makes it faintly magnetic, mu_r 1.01 to 2"}},
    {LL_CONDUCTOR,
     NULL,
     {"zinc alloy", "conductor", 0, 0, 1, 0, 15.7e6, 6600, 0,
      "die-casting alloy with 4 % aluminium, 27 % IACS: handbook values (from memory)", ""}},
};

const ll_table ll_conductors = {LL_COUNT_OF(metals), metals};
