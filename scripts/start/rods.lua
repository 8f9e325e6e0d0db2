-- a single coil, magnet rods as its poles, staggered if you like
-- Needs lodeloom 0.1. Millimetres, from above the strings' bass side to the treble side; z = 0 is the flat that the lowest rod stands level with.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Fill in what the caliper says. To see first that it is what lies on the bench:  lodeloom run FILE draw=yes --out .

-- ---- measured ----
local rod_diameter, rod_length = 4.8, 17
local rod_grade, north_up = "AlNiCo 5", true
local heights = { 0, 0.8, 1.2, 1.2, 0.6, 0.2 }   -- of each rod's top over z = 0, bass side first; all 0 if they are level
local spacing = 10.4                             -- rod to rod; or places = { ... } below, where they fan out
local winding_height, winding_top = 11, -2.5     -- of the wire alone, without its flatwork
local winding_length, winding_width = 66, 13     -- outside, over the wire
local turns, gauge = 7900, 42
local string_set, gap = "10-46", 2.2             -- clear distance from each rod to its string

-- ---- built ----
local rods = ll.row{ heights = heights, spacing = spacing, part = ll.rod{ diameter = rod_diameter, length = rod_length,
    at = { 0, 0, -rod_length / 2 }, material = rod_grade, north = north_up and "+z" or "-z" } }
local opening = rod_diameter + 0.4               -- wire is wound on the rods themselves
local build = (winding_width - opening) / 2
local coil = ll.coil{ turns = turns, wire = ll.awg(gauge), opening = { winding_length - 2 * build, opening }, build = build,
    height = winding_height, at = { 0, 0, winding_top - winding_height / 2 } }
local strings = ll.string_set{ set = string_set, spacing = spacing, gap = gap }
local p = ll.pickup{ name = "rods", parts = { rods }, coils = { coil }, accuracy = 1 }

-- ---- what comes out; needs no change ----

if given.draw then
    p:draw{ file = "drawing.svg", strings = strings }
end
p:winding():print()
p:poles{ standoff = 1 }:print()
p:sensitivity{ strings = strings }:print()
