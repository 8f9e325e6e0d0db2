-- Gap against output, pull and warble: how close may the pickup come to the strings?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Six rod magnets in one coil. A string that comes closer is louder, but the magnets pull at it: they detune it, and its swing
-- up and down gets another pitch than its swing across, so that it beats. For each gap this prints what two plain strings
-- give and suffer, and at the end the closest gap at which none of the first partials is heard to warble.
--
-- Other magnets:  lodeloom run closest-gap material="NdFeB N35"

local material = given.material or "AlNiCo 5"
local gaps = { 1, 1.5, 2, 2.5, 3, 4 } -- mm, from the rod's top to the underside of the string

local rods = ll.row{ count = 6, spacing = 10.4,
    part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = material, north = "+z" } }
local coil = ll.coil{ turns = 7800, wire = ll.awg(42), opening = { 57, 5 }, build = 3.5, height = 11,
    at = { 0, 0, -8 } }
local p = ll.pickup{ parts = { rods }, coils = { coil }, accuracy = 1.3 } -- per cent

-- The thickest and the thinnest plain string, over their rods, 60 mm from the bridge.
local set = { { note = "G3", gauge = 0.43, x = 5.2 }, { note = "E4", gauge = 0.25, x = 26 } }

-- Every string at every gap, read at once.
local strings = {}
for _, s in ipairs(set) do
    for _, gap in ipairs(gaps) do
        strings[#strings + 1] = ll.string{ note = s.note, gauge = s.gauge, x = s.x, gap = gap }
    end
end
local pulls, outputs = p:pull{ strings = strings }, p:sensitivity{ strings = strings }

local closest = ll.table{
    title = "Closest gap without a warble, rods of " .. material,
    columns = { "string", "gap_mm", "against_2_5_db", "vertical_cents" },
    notes = { "against_2_5: output beside that at a gap of 2.5 mm. A pull of some 5 cents is heard as out of tune (common "
        .. "practice, no source)." },
}

for i, s in ipairs(set) do
    local first = (i - 1) * #gaps
    local t = ll.table{
        title = s.note .. ", " .. s.gauge .. " mm",
        columns = { "gap_mm", "output_mv", "force_mn", "vertical_cents", "fastest_hz", "partial", "heard_as" },
        notes = { "Output for a string moving up at 1 m/s. Cents: what the pull does to its pitch as it swings up and down. "
            .. "Fastest: the fastest beat among the first 8 partials; 0.5 to 20 Hz is heard as a warble (common practice)." },
    }
    local safe
    local usual = outputs[first + 4].vertical_mv
    for k, gap in ipairs(gaps) do
        local pull, output = pulls[first + k], outputs[first + k].vertical_mv
        t:add{ gap_mm = gap, output_mv = output, force_mn = pull.force_mn, vertical_cents = pull.vertical_cents,
            fastest_hz = pull.fastest_hz, partial = pull.partial, heard_as = pull.heard_as }
        if pull.heard_as == "nothing" and not safe then
            safe = { string = s.note, gap_mm = gap, vertical_cents = pull.vertical_cents,
                against_2_5_db = 20 * math.log(output / usual, 10) }
        end
    end
    t:note("output: " .. outputs:mesh_error()):note("pull: " .. pulls:mesh_error())
    t:print()
    closest:add(safe or { string = s.note })
end
if #closest:column("gap_mm") < #set then
    closest:note("Without a gap: it warbles even at " .. gaps[#gaps] .. " mm.")
end
closest:print()
