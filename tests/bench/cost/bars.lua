-- Six steel rods between two AlNiCo bars at 0.3 mm: fields over two of them.  SPDX-License-Identifier: GPL-3.0-or-later
local rods = ll.row{ count = 6, spacing = 10.2, part = ll.rod{ diameter = 4.9, length = 18, at = { 0, 0, -5 }, material = "steel 1018" } }
local y = 4.9 / 2 + 0.3 + 12.5 / 2
local bar = ll.block{ size = { 62, 12.5, 3.2 }, at = { 0, -y, -9 }, material = "AlNiCo 5", north = "+y" }
local p = ll.pickup{ parts = { rods, bar, bar:with{ at = { 0, y, -9 }, north = "-y" } } }
p:field{ { 5.1, 0, 4.5 }, { 5.1, 0, 5 }, { 5.1, 0, 6 }, { 5.1, 0, 9 }, { 25.5, 0, 4.5 }, { 25.5, 0, 5 }, { 25.5, 0, 6 }, { 25.5, 0, 9 } }:print()
