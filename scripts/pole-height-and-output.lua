-- Screw height against output: how much louder does each string get as its screw comes up?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Six screws between two bar magnets. The strings stay where they are; all six screws come up together, and for each
-- height this prints the output of every string. The last table is for the screwdriver: what one turn does.
--
-- Other figures, in millimetres:  lodeloom run pole-height-and-output height=4 pitch=0.8

local height = given.height or 4.5   -- from the top of the bobbin to the underside of the strings
local pitch = given.pitch or 0.635   -- one turn of a screw with 40 threads to the inch
local heights = { 0.5, 1, 1.5, 2 }   -- top of the screws' heads over the bobbin

local coil = ll.coil{ turns = 10000, wire = ll.awg(42),
    opening = { 58, 6 }, build = 7, height = 10, at = { 0, 0, -5 } }

-- Fresh bars under the coil, north faces to the screws.
local bridge_bar = ll.block{ name = "bridge bar", size = { 62, 12, 3.2 }, at = { 0, -8, -12.5 },
    material = "ferrite C5", north = "+y" }
local neck_bar = bridge_bar:with{ name = "neck bar", at = { 0, 8, -12.5 }, north = "-y" }

local screw = ll.screw{ thread = 3.2, length = 18, head = { diameter = 5, height = 2 }, top = 0, at = { 0, 0 },
    material = "steel 1010" }

-- Note, gauge, wound or not, place across the strings; from the bass side, over the screws.
local set = {
    { "E2", 1.17, true, -25.5 }, { "A2", 0.91, true, -15.3 }, { "D3", 0.66, true, -5.1 },
    { "G3", 0.43, false, 5.1 }, { "B3", 0.33, false, 15.3 }, { "E4", 0.25, false, 25.5 },
}
local strings = {}
for i, s in ipairs(set) do
    strings[i] = ll.string{ note = s[1], gauge = s[2], wound = s[3],
        wrap = s[3] and "nickel-plated steel" or nil, x = s[4], z = height + s[2] / 2 }
end

local columns = { "screw_mm" }
for i, s in ipairs(set) do
    columns[i + 1] = s[1] .. "_mv"
end

-- One row for each height: the output of all strings.
local table_of_heights = ll.sweep{
    title = "Output of each string, strings " .. height .. " mm over the bobbin",
    vary = { { "screw_mm", heights } },
    columns = { table.unpack(columns, 2) },
    build = function(v)
        local screws = ll.row{ count = 6, spacing = 10.2, name = "screw", part = screw:moved(0, 0, v.screw_mm) }
        return ll.pickup{ parts = { screws, bridge_bar, neck_bar }, coils = { coil }, accuracy = 1 }
    end,
    read = function(p)
        local row = {}
        for _, s in ipairs(p:sensitivity{ strings = strings }) do
            row[s.string .. "_mv"] = s.vertical_mv
        end
        return row
    end,
}
table_of_heights:note("screw: top of the heads over the bobbin. Output for a string moving up at 1 m/s, nothing connected.")
table_of_heights:print()

-- Between the lowest and the highest, in decibels for one turn.
local low, high = table_of_heights[1], table_of_heights[#table_of_heights]
local turns = (high.screw_mm - low.screw_mm) / pitch
local per_turn = ll.table{
    title = "What one turn of the screw does (" .. pitch .. " mm)",
    columns = { "string", "low_mv", "high_mv", "per_turn_db" },
    notes = { "low, high: screws at " .. low.screw_mm .. " and " .. high.screw_mm
        .. " mm. One decibel is about the least that is noticed.", table_of_heights:mesh_error() },
}
for _, s in ipairs(set) do
    local column = s[1] .. "_mv"
    per_turn:add{ string = s[1], low_mv = low[column], high_mv = high[column],
        per_turn_db = 20 * math.log(high[column] / low[column], 10) / turns }
end
per_turn:print()
