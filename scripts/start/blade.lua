-- a single coil, a steel blade with a bar magnet on each side
-- Needs lodeloom 0.1. Millimetres, from above the strings' bass side to the treble side; z = 0 is the bobbin's upper face.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Fill in what the caliper says. To see first that it is what lies on the bench:  lodeloom run FILE draw=yes --out .

-- ---- measured ----
local blade = { 62, 3, 19 }                      -- length, thickness, height
local blade_top, blade_steel = 1.5, "steel 1018"
local bar = { 60, 10, 4 }
local bar_grade = "ferrite C5"
local bar_gap, bar_top = 0.3, -12.5
local winding_height, winding_top = 10, -1.5
local winding_length, winding_width = 76, 17
local wall = 1                                   -- from the blade to the first turn
local turns, gauge = 8000, 43
local string_set, spacing, gap = "10-46", 10.4, 2.5

-- ---- built ----
local core = ll.block{ name = "blade", size = blade, at = { 0, 0, blade_top - blade[3] / 2 }, material = blade_steel, pole = true }
local y, z = blade[2] / 2 + bar_gap + bar[2] / 2, bar_top - bar[3] / 2
local neck = ll.block{ name = "neck bar", size = bar, at = { 0, y, z }, material = bar_grade, north = "-y" }
local bridge = neck:with{ name = "bridge bar", at = { 0, -y, z }, north = "+y" }
local opening = blade[2] + 2 * wall
local build = (winding_width - opening) / 2
local coil = ll.coil{ turns = turns, wire = ll.awg(gauge), opening = { winding_length - 2 * build, opening }, build = build,
    height = winding_height, at = { 0, 0, winding_top - winding_height / 2 } }
local strings = ll.string_set{ set = string_set, spacing = spacing, gap = gap }
local p = ll.pickup{ name = "blade", parts = { core, neck, bridge }, coils = { coil }, accuracy = 2 }

-- ---- what comes out; needs no change ----

if given.draw then
    p:draw{ file = "drawing.svg", strings = strings }
end
p:winding():print()
p:poles{ standoff = 1 }:print()
p:sensitivity{ strings = strings }:print()
