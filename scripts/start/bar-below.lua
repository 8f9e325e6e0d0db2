-- a single coil, steel poles on a bar magnet
-- Needs lodeloom 0.1. Millimetres, from above the strings' bass side to the treble side; z = 0 is the bobbin's upper face.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Fill in what the caliper says. To see first that it is what lies on the bench:  lodeloom run FILE draw=yes --out .

-- ---- measured ----
local pole_diameter, pole_length, pole_top = 4.8, 14, 1
local pole_steel = "steel 1018"
local spacing = 10.4
local bar = { 60, 12, 4 }                        -- length, width, thickness
local bar_grade = "ferrite C5"
local air = 0.1                                  -- between poles and bar: glue, or a burr
local winding_height, winding_top = 9, -1.5
local winding_length, winding_width = 68, 16
local wall = 1                                   -- from the poles to the first turn
local turns, gauge = 7000, 42
local string_set, gap = "10-46", 2.5

-- ---- built ----
local poles = ll.row{ count = 6, spacing = spacing, part = ll.rod{ diameter = pole_diameter, length = pole_length,
    at = { 0, 0, pole_top - pole_length / 2 }, material = pole_steel } }
local magnet = ll.block{ name = "bar", size = bar, at = { 0, 0, pole_top - pole_length - air - bar[3] / 2 }, material = bar_grade, north = "+z" }
local opening = pole_diameter + 2 * wall
local build = (winding_width - opening) / 2
local coil = ll.coil{ turns = turns, wire = ll.awg(gauge), opening = { winding_length - 2 * build, opening }, build = build,
    height = winding_height, at = { 0, 0, winding_top - winding_height / 2 } }
local strings = ll.string_set{ set = string_set, spacing = spacing, gap = gap }
local p = ll.pickup{ name = "poles on a bar", parts = { poles, magnet }, coils = { coil }, accuracy = 2 }

-- ---- what comes out; needs no change ----

if given.draw then
    p:draw{ file = "drawing.svg", strings = strings }
end
p:winding():print()
p:poles{ standoff = 1 }:print()
p:sensitivity{ strings = strings }:print()
