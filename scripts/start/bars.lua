-- a single coil, steel poles, two bar magnets beside them below
-- Needs lodeloom 0.1. Millimetres, from above the strings' bass side to the treble side; z = 0 is the bobbin's upper face.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Fill in what the caliper says. To see first that it is what lies on the bench:  lodeloom run FILE draw=yes --out .

-- ---- measured ----
local pole_diameter, pole_length, pole_top = 4.8, 18, 1.5
local pole_steel = "steel 1018"
local spacing = 10.2                             -- pole to pole
local bar = { 62, 12.5, 3.2 }                    -- length, width, thickness of each bar
local bar_grade = "ferrite C5"
local bar_gap, bar_top = 0.3, -12                -- from the poles to each bar; height of the bars' upper face
local winding_height, winding_top = 9, -1.5
local winding_length, winding_width = 74, 24
local wall = 1.2                                 -- from the poles to the first turn, the bobbin's own
local turns, gauge = 8500, 42
local string_set, gap = "10-46", 2.5

-- ---- built ----
local poles = ll.row{ count = 6, spacing = spacing, part = ll.rod{ diameter = pole_diameter, length = pole_length,
    at = { 0, 0, pole_top - pole_length / 2 }, material = pole_steel } }
-- Like faces look at the poles: north from both sides. One of them turned over is a weak pickup: try north = "-y".
local y, z = pole_diameter / 2 + bar_gap + bar[2] / 2, bar_top - bar[3] / 2
local neck = ll.block{ name = "neck bar", size = bar, at = { 0, y, z }, material = bar_grade, north = "-y" }
local bridge = neck:with{ name = "bridge bar", at = { 0, -y, z }, north = "+y" }
local opening = pole_diameter + 2 * wall
local build = (winding_width - opening) / 2
local coil = ll.coil{ turns = turns, wire = ll.awg(gauge), opening = { winding_length - 2 * build, opening }, build = build,
    height = winding_height, at = { 0, 0, winding_top - winding_height / 2 } }
local strings = ll.string_set{ set = string_set, spacing = spacing, gap = gap }
local p = ll.pickup{ name = "poles between bars", parts = { poles, neck, bridge }, coils = { coil }, accuracy = 2 }

-- ---- what comes out; needs no change ----

if given.draw then
    p:draw{ file = "drawing.svg", strings = strings }
end
p:winding():print()
p:poles{ standoff = 1 }:print()
p:sensitivity{ strings = strings }:print()
