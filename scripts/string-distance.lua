-- String distance against output and field: what does lowering the pickup cost?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Six rod magnets in one coil, and one string over the fourth rod at several distances.
--
-- Other figures:  lodeloom run string-distance gauge=0.66 wound=yes note=D3

local gauge = given.gauge or 0.43    -- mm, outside
local note = given.note or "G3"
local wound = given.wound == "yes"
local gaps = { 1.5, 2, 2.5, 3, 4, 5 } -- mm, clear, from the rod's top to the underside of the string

local rods = ll.row{ count = 6, spacing = 10.4,
    part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 5", north = "+z" } }
local coil = ll.coil{ turns = 7800, wire = ll.awg(42), opening = { 57, 5 }, build = 3.5, height = 11,
    at = { 0, 0, -8 } }
local p = ll.pickup{ parts = { rods }, coils = { coil }, accuracy = 1 } -- per cent

local result = ll.table{
    title = "String " .. note .. ", " .. gauge .. " mm" .. (wound and ", wound" or "") .. ", over pole 4",
    columns = { "gap_mm", "bz_mt", "bz_gauss", "output_mv", "against_first_db" },
    notes = {
        "bz: upward field where the string runs, without the string. Output for a string moving up at 1 m/s, nothing",
        "connected. against_first: beside the nearest distance; -6 dB is half.",
    },
}

-- The same string at every distance, and the places where it then runs: all are read at once.
local strings, places = {}, {}
for i, gap in ipairs(gaps) do
    strings[i] = ll.string{ note = note, gauge = gauge, wound = wound,
        wrap = wound and "nickel-plated steel" or nil, x = 5.2, gap = gap }
    places[i] = { 5.2, 0, gap + gauge / 2 }
end
local fields, outputs = p:field(places), p:sensitivity{ strings = strings }
for i, gap in ipairs(gaps) do
    local output = outputs[i].vertical_mv
    result:add{ gap_mm = gap, bz_mt = fields[i].bz_mt, bz_gauss = 10 * fields[i].bz_mt, output_mv = output,
        against_first_db = 20 * math.log(output / outputs[1].vertical_mv, 10) }
end
result:note("field: " .. fields:mesh_error()):note("output: " .. outputs:mesh_error())
result:print()
