/* string_stock.c - wire that strings are made of, with an arctangent law.
 *
 * No measured B-H curve of string wire was found. Drawing hardens the wire and makes it magnetically harder,
 * more so the thinner it is, so these figures are assumptions within a wide spread.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/tables.h"

/* kind, no curve, {name, group, 0, 0, initial mu_r, Js T, conductivity S/m, density kg/m3, 0, source, note} */
static const ll_table_entry wires[] = {
    {LL_STEEL,
     NULL,
     {"music wire", "string stock", 0, 0, 200, 1.95, 5e6, 7850, 0,
      "order of magnitude for hard drawn steel of 0.7 to 1.0 % carbon (from memory); density: ASTM "
      "A228 "
      "(from memory)",
      "assumed: mu_r 100 to 300, Js 1.9 to 2.0 T, 0.2 micro-ohm metre; its coercive field of 1 to "
      "2 kA/m is "
      "left out"}},
    {LL_STEEL,
     NULL,
     {"nickel", "string stock", 0, 0, 100, 0.61, 14.3e6, 8900, 0,
      "saturation and conductivity of pure nickel: handbook values (from memory)",
      "assumed: mu_r 50 to 300, hard drawn to annealed"}},
    {LL_STEEL,
     NULL,
     {"stainless string", "string stock", 0, 0, 100, 1.5, 1.67e6, 7700, 0,
      "hard drawn ferritic stainless steel: handbook values of 430 (from memory)",
      "assumed: mu_r 50 to 300; austenitic wire (302, 304) is far less magnetic"}},
    {LL_STEEL,
     NULL,
     {"nickel-plated steel", "string stock", 0, 0, 300, 2.05, 6e6, 7870, 0,
      "order of magnitude for drawn steel of 0.05 to 0.1 % carbon (from memory); density: steel "
      "handbooks (from memory)",
      "what most wound strings are wrapped with; assumed: mu_r 100 to 1000, Js 2.0 to 2.1 T; the "
      "plating, some per cent of the mass, is left out"}},
};

const ll_table ll_string_stock = {LL_COUNT_OF(wires), wires};
