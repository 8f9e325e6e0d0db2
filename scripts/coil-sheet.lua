-- A winding sheet: wire, resistance, fill and inductance of a coil, with and without its steel.
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- For the label on the bag, and before winding: does the wire fit, what will the ohm meter and the bridge say?
--
-- Other figures:  lodeloom run coil-sheet turns=9000 awg=43 build=6 temperature=24

local turns = given.turns or 8000
local wire = ll.awg(given.awg or 42)
local build = given.build or 6               -- mm, thickness of the winding from the core outwards
local height = given.height or 10            -- mm, between the flanges
local temperature = given.temperature or 20  -- degrees C, of the copper

local coil = ll.coil{ turns = turns, wire = wire, opening = { 57, 6 }, build = build, height = height,
    at = { 0, 0, -5 } }
local poles = ll.row{ count = 6, spacing = 10.2,
    part = ll.rod{ diameter = 5, length = 18, at = { 0, 0, -8 }, material = "steel 1018" } }

local figures = wire:figures()[1]
local reading = ll.pickup{ parts = { poles }, coils = { coil } }:winding{ temperature = temperature }
local with_steel = reading[1]
local without = ll.pickup{ coils = { coil } }:winding{ temperature = temperature }[1]

ll.table{
    title = "Wire and winding",
    columns = { "turns", "bare_mm", "enamelled_mm", "wire_m", "dcr_kohm", "filled_percent" },
    rows = { {
        turns = turns, bare_mm = figures.bare_mm, enamelled_mm = figures.outside_mm, wire_m = with_steel.wire_m,
        dcr_kohm = with_steel.dcr_ohm / 1000,
        filled_percent = 100 * turns * figures.outside_mm ^ 2 / (build * height),
    } },
    notes = {
        "dcr: copper at " .. temperature .. " degrees C. Wire within its tolerance gives up to 8 % more or less.",
        "filled: wire laid square by square in build x height. A hand-wound coil gets in some 70 to 80 %.",
    },
}:print()

ll.table{
    title = "On the bridge",
    columns = { "coil", "l_h", "c_pf", "resonance_hz" },
    rows = {
        { coil = "without steel", l_h = without.l_h, c_pf = without.c_f / ll.pf, resonance_hz = without.resonance_hz },
        { coil = "with steel", l_h = with_steel.l_h, c_pf = with_steel.c_f / ll.pf, resonance_hz = with_steel.resonance_hz },
    },
    notes = {
        "l: at low frequency (100 or 120 Hz on a bridge); eddy currents in the poles lower it further up.",
        "c: an estimate, half or double is possible; resonance: of the bare coil, from l and c, without cable.",
        reading:mesh_error(),
    },
}:print()
