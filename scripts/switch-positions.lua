-- What does each position of this guitar's switch give: level, peak, hum, phase?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Two pickups of an invented guitar are described with a caliper: rods at the neck, two coils at the bridge. The one in the middle came
-- closed and was only measured: ohm meter and bridge, a compass, a screwdriver pulled off it, and its level against the neck's.
--
--   lodeloom run switch-positions
--   lodeloom run switch-positions middle_meter=negative     the middle's leads the other way round
--   lodeloom run switch-positions volume=250e3 cable_m=6

local strings = ll.string_set{ set = "10-46", spacing = 10.4, gap = 2.4 }

-- Neck: six rods in one coil.
local neck = ll.pickup{ name = "neck", accuracy = 5,
    parts = { ll.row{ count = 6, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 5",
        north = "+z" } } },
    coils = { ll.coil{ turns = 7800, wire = ll.awg(42), opening = { 58, 5.2 }, build = 3.8, height = 11, at = { 0, 0, -8 }, hand = "ccw" } } }

-- Bridge: screws in one coil, studs in the other, a bar between their feet; the second coil is wound the other way round.
local screws = ll.row{ count = 6, spacing = 10.4, name = "screw", part = ll.screw{ thread = 3.4, length = 19,
    head = { diameter = 5, height = 2 }, top = 1.2, at = { 0, -9 }, material = "steel 1018" } }
local studs = ll.row{ count = 6, spacing = 10.4, name = "stud", part = ll.rod{ diameter = 4.8, length = 13.5, at = { 0, 9, -6.25 },
    material = "steel 1018" } }
local bar = ll.block{ name = "bar", size = { 63, 12.6, 3.2 }, at = { 0, 0, -11.2 }, material = "AlNiCo 5", north = "+y" }
local stud_coil = ll.coil{ name = "studs", turns = 4900, wire = ll.awg(42), opening = { 57, 6.8 }, build = 4.3, height = 7,
    at = { 0, 9, -5 }, hand = "ccw" }
local screw_coil = stud_coil:with{ name = "screws", at = { 0, -9, -5 }, hand = "cw" }
local bridge = ll.pickup{ name = "bridge", accuracy = 5, parts = { screws, studs, bar }, coils = { stud_coil, screw_coil } }

-- Middle: measured, never opened.
local middle = ll.lumped{ r = 6300, l = 2.5, c = 110 * ll.pf }

ll.instrument{
    strings = strings,
    pickups = {
        { name = "neck", pickup = neck, from_bridge = 160 },
        { name = "middle", coil = middle, from_bridge = 105, shows = given.middle_shows or "S", meter = given.middle_meter or "positive",
            level = given.middle_level or -1, against = "neck" },
        { name = "bridge", pickup = bridge, from_bridge = 48 },
    },
    positions = {
        "neck",
        { name = "neck | middle", from = { "neck", "middle" }, wiring = "parallel" },
        "middle",
        { name = "middle | studs", from = { "middle", "bridge.studs" }, wiring = "parallel" },
        "bridge",
        { name = "bridge, coils parallel", from = { "bridge.studs", "bridge.screws" }, wiring = "parallel" },
        { name = "bridge split", from = "bridge.studs" },
        { name = "neck | bridge", from = { "neck", "bridge" }, wiring = "parallel" },
        { name = "neck + bridge", from = { "neck", "bridge" }, wiring = "series" },
        { name = "neck | bridge turned", from = { "neck", "bridge" }, wiring = "parallel", reversed = { false, true } },
        { name = "neck tapped", from = "neck", tapped = 0.6 },
    },
    controls = { volume = given.volume or 500 * ll.kohm, tone_pot = 500 * ll.kohm, tone_cap = 22 * ll.nf, cable_m = given.cable_m or 5,
        input = 1e6 },
}:print()
