/* trade_names.c - what the trade calls the rows of the tables beside their names there.
 *
 * A name that stands for several rows is asked back: taking one of them would be a guess about the part on the bench.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "material/tables.h"

#define PRACTICE "common practice, no source"
#define MMPA "MMPA Standard 0100-00 (from memory)"
#define ASTM "alloy names of ASTM B122 (from memory)"

/* {name, what it means, source}: the whole name. */
static const ll_trade_name names[] = {
    {"AlNiCo II", "AlNiCo 2", MMPA},
    {"AlNiCo III", "AlNiCo 3", MMPA},
    {"AlNiCo IV", "AlNiCo 4", MMPA},
    {"AlNiCo V", "AlNiCo 5", MMPA},
    {"AlNiCo VIII", "AlNiCo 8", MMPA},
    {"german silver", "nickel silver", ASTM},
    {"new silver", "nickel silver", PRACTICE},
    {"alpaca", "nickel silver", PRACTICE},
    {"alpacca", "nickel silver", PRACTICE},
    {"maillechort", "nickel silver", PRACTICE},
    {"aluminum", "aluminium", "spelling"},
    {"zinc", "zinc alloy", PRACTICE},
    {"pot metal", "zinc alloy", PRACTICE},
    {"die cast zinc", "zinc alloy", PRACTICE},
    {"cold rolled steel", "cold drawn steel", PRACTICE},
    {"CRS", "cold drawn steel", PRACTICE},
    {"piano wire", "music wire", "ASTM A228 (from memory)"},
    {"plain steel", "music wire", PRACTICE},
    {"pure nickel", "nickel", PRACTICE},
    {"samarium cobalt 1-5", "SmCo5", MMPA},
    {"samarium cobalt 2-17", "Sm2Co17", MMPA},
};

/* The same of how a name begins: "neo N42" is "NdFeB" and "N42". */
static const ll_trade_name beginnings[] = {
    {"ceramic", "ferrite C", MMPA},
    {"ceramic", "ferrite", MMPA},
    {"ferrite", "ferrite C", MMPA},
    {"hard ferrite", "ferrite", PRACTICE},
    {"neodymium", "NdFeB", PRACTICE},
    {"neodymium", "NdFeB N", PRACTICE},
    {"neo", "NdFeB", PRACTICE},
    {"neo", "NdFeB N", PRACTICE},
    {"NIB", "NdFeB", PRACTICE},
    {"Nd", "NdFeB", PRACTICE},
    {"N", "NdFeB N", PRACTICE},
    {"C", "ferrite C", MMPA},
    {"Y", "ferrite Y", "SJ/T 10410 (from memory)"},
    {"A", "AlNiCo", PRACTICE},
    {"stainless steel", "stainless", PRACTICE},
    {"AISI", "steel", PRACTICE},
    {"SAE", "steel", PRACTICE},
    {"AISI", "stainless", PRACTICE},
};

#define MILD "\"steel 1010\", \"steel 1018\", \"steel 1020\" or \"cold drawn steel\""

/* What must be said more exactly, with the choice there is. */
static const ll_trade_name unclear[] = {
    {"iron", "\"pure iron\" (annealed), \"steel 1006\" or \"cold drawn steel\"", PRACTICE},
    {"soft iron", "\"pure iron\" (annealed), \"steel 1006\" or \"cold drawn steel\"", PRACTICE},
    {"steel", MILD, PRACTICE},
    {"mild steel", MILD, PRACTICE},
    {"stainless",
     "\"stainless 416\" or \"stainless 430\", which a magnet holds, or \"stainless 304\", which it "
     "does not",
     PRACTICE},
    {"stainless steel",
     "\"stainless 416\" or \"stainless 430\", which a magnet holds, or \"stainless 304\", which it "
     "does not",
     PRACTICE},
    {"alnico", "\"AlNiCo 2\", \"AlNiCo 3\", \"AlNiCo 4\", \"AlNiCo 5\" or \"AlNiCo 8\"", MMPA},
    {"ceramic", "\"ferrite C5\", \"ferrite C8\" or another ferrite", MMPA},
    {"ferrite", "\"ferrite C5\", \"ferrite C8\", \"ferrite Y30\" or another ferrite", MMPA},
    {"neo", "\"NdFeB N35\", \"NdFeB N42\", \"NdFeB N52\" or another grade", PRACTICE},
    {"neodymium", "\"NdFeB N35\", \"NdFeB N42\", \"NdFeB N52\" or another grade", PRACTICE},
    {"NdFeB", "\"NdFeB N35\", \"NdFeB N42\", \"NdFeB N52\" or another grade", PRACTICE},
    {"rare earth", "\"NdFeB N42\" or another of its grades, \"SmCo5\" or \"Sm2Co17\"", PRACTICE},
    {"samarium cobalt", "\"SmCo5\" or \"Sm2Co17\"", MMPA},
    {"SmCo", "\"SmCo5\" or \"Sm2Co17\"", MMPA},
    {"cunife", "ll.magnet{ curve = ... } from a data sheet, for the tables have no row of it",
     PRACTICE},
};

const ll_trade_names ll_trade = {
    .names = names,
    .name_count = LL_COUNT_OF(names),
    .beginnings = beginnings,
    .beginning_count = LL_COUNT_OF(beginnings),
    .unclear = unclear,
    .unclear_count = LL_COUNT_OF(unclear),
};
