-- a lap steel: one long bar magnet under a steel blade
-- Needs lodeloom 0.1. Millimetres, from above the strings' bass side to the treble side; z = 0 is the blade's top.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Fill in what the caliper says. To see first that it is what lies on the bench:  lodeloom run FILE draw=yes --out .

-- ---- measured ----
local blade = { 58, 3, 14 }                      -- length, thickness, height
local bar = { 58, 10, 5 }
local bar_grade, air = "AlNiCo 5", 0.1           -- between blade and bar
local winding_height, winding_top = 9, -2.5
local winding_length, winding_width = 72, 18
local wall = 1
local turns, gauge = 8000, 42
local string_set, spacing, gap = "15-36", 9.5, 3.5

-- ---- built ----
local core = ll.block{ name = "blade", size = blade, at = { 0, 0, -blade[3] / 2 }, material = "steel 1018", pole = true }
local magnet = ll.block{ name = "bar", size = bar, at = { 0, 0, -blade[3] - air - bar[3] / 2 }, material = bar_grade, north = "+z" }
local opening = blade[2] + 2 * wall
local build = (winding_width - opening) / 2
local coil = ll.coil{ turns = turns, wire = ll.awg(gauge), opening = { winding_length - 2 * build, opening }, build = build,
    height = winding_height, at = { 0, 0, winding_top - winding_height / 2 } }
local strings = ll.string_set{ set = string_set, spacing = spacing, gap = gap }
local p = ll.pickup{ name = "lap steel", parts = { core, magnet }, coils = { coil }, accuracy = 2 }

-- ---- what comes out; needs no change ----

if given.draw then
    p:draw{ file = "drawing.svg", strings = strings }
end
p:winding():print()
p:poles{ standoff = 1 }:print()
p:sensitivity{ strings = strings }:print()
