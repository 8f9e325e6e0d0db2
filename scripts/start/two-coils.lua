-- two coils in series, screws in one and studs in the other, a bar magnet between them
-- Needs lodeloom 0.1. Millimetres, from above the strings' bass side to the treble side; z = 0 is the bobbins' upper face.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Fill in what the caliper says. To see first that it is what lies on the bench:  lodeloom run FILE draw=yes --out .

-- ---- measured ----
local screw_thread, screw_length, screw_head = 3.4, 19, { diameter = 5, height = 2 }
local screw_top = 1.2
local stud_diameter, stud_length, stud_top = 4.8, 13.5, 0.5
local apart = 18                                 -- middle of the screws to the middle of the studs
local spacing = 10.2
local bar = { 63, 12.6, 3.2 }
local bar_grade, bar_top = "AlNiCo 5", -9.6
local winding_height, winding_top = 7, -1.5
local winding_length, winding_width = 66, 15.5   -- of each coil
local wall = 1                                   -- from the studs to the first turn
local turns, gauge = 4900, 42                    -- of each coil
local string_set, gap = "10-46", 2.2

-- ---- built ----
local screws = ll.row{ count = 6, spacing = spacing, name = "screw", part = ll.screw{ thread = screw_thread, length = screw_length,
    head = screw_head, top = screw_top, at = { 0, -apart / 2 }, material = "steel 1018" } }
local studs = ll.row{ count = 6, spacing = spacing, name = "stud", part = ll.rod{ diameter = stud_diameter, length = stud_length,
    at = { 0, apart / 2, stud_top - stud_length / 2 }, material = "steel 1018" } }
local magnet = ll.block{ name = "bar", size = bar, at = { 0, 0, bar_top - bar[3] / 2 }, material = bar_grade, north = "+y" }
local opening = stud_diameter + 2 * wall
local build = (winding_width - opening) / 2
local coil = ll.coil{ name = "stud coil", turns = turns, wire = ll.awg(gauge), opening = { winding_length - 2 * build, opening },
    build = build, height = winding_height, at = { 0, apart / 2, winding_top - winding_height / 2 } }
-- Magnet and winding are turned in the other coil: strings add, hum cancels.
local other = coil:with{ name = "screw coil", at = { 0, -apart / 2, winding_top - winding_height / 2 }, hand = "cw" }
local strings = ll.string_set{ set = string_set, spacing = spacing, gap = gap }
local p = ll.pickup{ name = "two coils", parts = { screws, studs, magnet }, coils = { coil, other }, accuracy = 2 }

-- ---- what comes out; needs no change ----

if given.draw then
    p:draw{ file = "drawing.svg", strings = strings }
end
p:winding():print()
p:poles{ standoff = 1 }:print()
p:sensitivity{ strings = strings }:print()
