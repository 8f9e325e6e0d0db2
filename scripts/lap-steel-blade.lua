-- An eight-string lap steel with one steel blade and two unlike magnets: are the strings even?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- What was in the drawer: a blade, one ferrite bar, and two short AlNiCo bars of which one has lost half its charge. The
-- ferrite goes on the neck side of the blade, the AlNiCo bars end to end on the bridge side.
--
-- Other figures:  lodeloom run lap-steel-blade treble_charge=1 gap=3

local gap = given.gap or 3.5                        -- mm, clear, from the blade to the strings
local treble_charge = given.treble_charge or 0.5    -- of the treble AlNiCo bar, 1 is full
local spacing = 9.5                                 -- mm, string to string

-- pole = true: gaps are measured from the blade.
local blade = ll.block{ name = "blade", size = { 76, 3, 20 }, at = { 0, 0, -8 }, material = "steel 1018",
    pole = true }
local bass_bar = ll.block{ name = "bass bar", size = { 36, 12.5, 4 }, at = { -19, -8, -15 }, material = "AlNiCo 5",
    north = "+y" }
local treble_bar = bass_bar:with{ name = "treble bar", at = { 19, -8, -15 }, charge = treble_charge }
local ferrite = ll.block{ name = "ferrite", size = { 76, 10, 4 }, at = { 0, 6.75, -15 }, material = "ferrite C8",
    north = "-y" }

local coil = ll.coil{ turns = 7000, wire = ll.awg(42), opening = { 78, 5 }, build = 5, height = 11,
    at = { 0, 0, -6 } }

-- A C6 set, bass to treble: note, gauge, wound or not.
local set = {
    { "A2", 1.07, true }, { "C3", 0.91, true }, { "E3", 0.71, true }, { "G3", 0.56, true },
    { "A3", 0.43, false }, { "C4", 0.38, false }, { "E4", 0.33, false }, { "G4", 0.28, false },
}
local strings, places = {}, {}
for i, s in ipairs(set) do
    local x = (i - 4.5) * spacing
    strings[i] = ll.string{ note = s[1], gauge = s[2], wound = s[3],
        wrap = s[3] and "nickel-plated steel" or nil, scale = 572, x = x, gap = gap }
    places[i] = { x, 0, 2 + gap }   -- the blade's top is at z = 2
end

local p = ll.pickup{ name = "lap steel", parts = { blade, bass_bar, treble_bar, ferrite }, coils = { coil }, accuracy = 1 }

local fields = p:field(places)
local outputs = p:sensitivity{ strings = strings }
local loudest = 0
for _, row in ipairs(outputs) do
    loudest = math.max(loudest, math.abs(row.vertical_mv))
end

local result = ll.table{
    title = "Treble AlNiCo bar at " .. 100 * treble_charge .. " % of its charge, strings " .. gap .. " mm over the blade",
    columns = { "string", "x_mm", "bz_mt", "output_mv", "sideways_mv", "below_best_db" },
    notes = {
        "bz: upward field under the string. output: moving up at 1 m/s; sideways: to the treble side at 1 m/s, of which",
        "a blade hears little. below_best: output beside the loudest string; 1 dB is about the least that is noticed.",
    },
}
for i, row in ipairs(outputs) do
    result:add{ string = row.string, x_mm = places[i][1], bz_mt = fields[i].bz_mt, output_mv = row.vertical_mv,
        sideways_mv = row.horizontal_mv,
        below_best_db = 20 * math.log(math.abs(row.vertical_mv) / loudest, 10) }
end
result:note("field: " .. fields:mesh_error()):note("output: " .. outputs:mesh_error())
result:print()
