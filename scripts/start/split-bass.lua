-- a bass pickup in two halves, two magnet rods to a string
-- Needs lodeloom 0.1. Millimetres, from above the strings' bass side to the treble side; z = 0 is the tops of the rods.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Fill in what the caliper says. To see first that it is what lies on the bench:  lodeloom run FILE draw=yes --out .

-- ---- measured ----
local rod_diameter, rod_length, rod_grade = 6.35, 17, "AlNiCo 5"
local pair = 9                                   -- middle to middle of the two rods of a string
local spacing = 19                               -- string to string
local step = 24                                  -- of the halves along the strings, the bass side nearer the neck
local winding_height, winding_top = 10, -3
local winding_length, winding_width = 48, 14     -- of each half
local turns, gauge = 4800, 42                    -- of each half
local string_set, gap = "45-105", 3

-- ---- built ----
-- Opposite poles and opposite windings: strings are heard alike, hum cancels.
local function half(name, middle, y, north, hand)
    local rods, opening = {}, rod_diameter + 0.6
    for s = 1, 2 do
        rods[s] = ll.row{ name = name .. " rod " .. s, count = 2, spacing = pair, part = ll.rod{ diameter = rod_diameter, length = rod_length,
            at = { middle + (s - 1.5) * spacing, y, -rod_length / 2 }, material = rod_grade, north = north } }
    end
    local build = (winding_width - opening) / 2
    return rods, ll.coil{ name = name, turns = turns, wire = ll.awg(gauge), opening = { winding_length - 2 * build, opening }, build = build,
        height = winding_height, at = { middle, y, winding_top - winding_height / 2 }, hand = hand }
end
local bass_rods, bass = half("bass half", -spacing, step / 2, "+z", "ccw")
local treble_rods, treble = half("treble half", spacing, -step / 2, "-z", "cw")
local strings = ll.string_set{ set = string_set, spacing = spacing, z = gap, from_bridge = 150 }
local p = ll.pickup{ name = "split bass", parts = { bass_rods, treble_rods }, coils = { bass, treble }, accuracy = 1 }

-- ---- what comes out; needs no change ----

if given.draw then
    p:draw{ file = "drawing.svg", strings = strings }
end
p:winding():print()
p:poles{ standoff = 1 }:print()
p:sensitivity{ strings = strings }:print()
