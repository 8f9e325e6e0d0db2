-- A steel plate under a magnet: what leaks behind it.  SPDX-License-Identifier: GPL-3.0-or-later
local plate = ll.block{ size = { 60, 20, 0.4 }, at = { 0, 0, -0.2 }, material = "steel 1018" }
local magnet = ll.block{ size = { 60, 12, 5 }, at = { 0, 0, 3 }, material = ll.magnet{ remanence = 380, recoil = 1 }, north = "+z" }
local p = ll.pickup{ parts = { plate, magnet }, accuracy = 1 }
p:field{ { 0, 0, -1.4 }, { 0, 0, -2.4 }, { 0, 0, -5.4 }, { 20, 0, -1.4 } }:print()
