-- a coil that lies on its side: its core runs along the strings
-- Needs lodeloom 0.1. Millimetres, from above the strings' bass side to the treble side; z = 0 is the winding's top.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Fill in what the caliper says. To see first that it is what lies on the bench:  lodeloom run FILE draw=yes --out .

-- ---- measured ----
local core = { 58, 14, 4 }                       -- across the strings, along them, up
local bar = { 58, 4, 10 }
local bar_grade, air = "ferrite C5", 0.2         -- at the core's bridge end, and from it
local winding_along = 11                         -- the winding's own height, now along the strings
local winding_length, winding_up = 68, 13        -- outside
local wall = 0.5
local turns, gauge = 6000, 43
local string_set, spacing, height = "10-46", 10.4, 3.5 -- height of the strings' undersides over z = 0

-- ---- built ----
local middle = -winding_up / 2
local steel = ll.block{ name = "core", size = core, at = { 0, 0, middle }, material = "steel 1018" }
local magnet = ll.block{ name = "bar", size = bar, at = { 0, -core[2] / 2 - air - bar[2] / 2, middle }, material = bar_grade, north = "+y" }
local opening = core[3] + 2 * wall
local build = (winding_up - opening) / 2
local coil = ll.coil{ turns = turns, wire = ll.awg(gauge), opening = { winding_length - 2 * build, opening }, corner = 0.5, build = build,
    height = winding_along, at = { 0, 0, middle }, along = "+y" }
local strings = ll.string_set{ set = string_set, spacing = spacing, z = height }
local p = ll.pickup{ name = "on its side", parts = { steel, magnet }, coils = { coil }, accuracy = 2 }

-- ---- what comes out; needs no change ----

if given.draw then
    p:draw{ file = "drawing.svg", strings = strings }
end
p:winding():print()
p:sensitivity{ strings = strings }:print()
