-- Two bar magnets beside six steel poles: which of the 16 ways to put them back work?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- The pickup came in with both magnets out. Each bar goes back along its side of the row in one of four ways, a
-- quarter turn apart, and nothing on it says which. For every pair of ways this prints the field over one pole and the
-- output of the string above it, and says which pairs work.
--
-- Other figures, all in millimetres:  lodeloom run two-bar-quarter-turns gap=2 spacing=9.8 magnet="AlNiCo 5"

local spacing = given.spacing or 10.2      -- from pole to pole
local gap = given.gap or 2.5               -- clear distance from a pole's top to its string
local standoff = given.standoff or 0.5     -- gauss meter's probe above the pole's top
local magnet = given.magnet or "ferrite C5"
local steel = given.steel or "steel 1018"

-- The bench. z = 0 is the top of the bobbin; the poles stand 1 mm out of it.
local poles = ll.row{ count = 6, spacing = spacing,
    part = ll.rod{ diameter = 5, length = 18, at = { 0, 0, -8 }, material = steel } }

local coil = ll.coil{ turns = 8000, wire = ll.awg(42),
    opening = { 5 * spacing + 6, 6 }, build = 8, height = 6, at = { 0, 0, -3 } }

-- Each bar lies flat, its north face to the poles; the bridge bar is on the bridge side of them.
local bridge_bar = ll.block{ name = "bridge bar", size = { 60, 10, 4 }, at = { 0, -8, -12 }, material = magnet,
    north = "+y" }
local neck_bar = ll.block{ name = "neck bar", size = { 60, 10, 4 }, at = { 0, 8, -12 }, material = magnet,
    north = "-y" }

-- Where the north face looks, and how far the bar was turned about its long axis to get there. The two bars turn
-- opposite ways, so that each of these words means the same for both.
local ways = { "to poles", "up", "away", "down" }
local degrees = { ["to poles"] = 0, up = 90, away = 180, down = 270 }

-- The plain G string over the fourth pole.
local pole, string_g = "pole 4", ll.string{ note = "G3", gauge = 0.43, x = spacing / 2, gap = gap }

local function pickup(bridge, neck)
    return ll.pickup{ parts = { poles, bridge, neck }, coils = { coil }, accuracy = 1 }
end

-- Field over the pole and output of the string, as one row.
local function read(p)
    local over_pole = p:poles{ standoff = standoff }[4]
    return {
        bz_mt = over_pole.bz_mt,
        bz_gauss = over_pole.bz_gauss,
        output_mv = p:sensitivity{ strings = string_g }[1].vertical_mv,
    }
end

local readings = ll.sweep{
    vary = { { "bridge_bar", ways }, { "neck_bar", ways } },
    build = function(v)
        return pickup(bridge_bar:turned("x", degrees[v.bridge_bar]), neck_bar:turned("x", -degrees[v.neck_bar]))
    end,
    read = read,
}

-- The best of them is the measure for the rest.
local best_field, best_output = 0, 0
for _, row in ipairs(readings) do
    best_field = math.max(best_field, math.abs(row.bz_mt))
    best_output = math.max(best_output, math.abs(row.output_mv))
end

-- A pair works when field and output both come to nine tenths of the best; under one tenth it is dead.
local function verdict(field_percent, output_percent, bz_mt)
    if field_percent > 90 and output_percent > 90 then
        return bz_mt > 0 and "works, north up" or "works, south up"
    end
    return field_percent < 10 and output_percent < 10 and "dead" or "weak"
end

local all = ll.table{
    title = "North face of each bar, field " .. standoff .. " mm over " .. pole .. ", output of its string",
    columns = { "bridge_bar", "neck_bar", "bz_mt", "bz_gauss", "field_percent", "output_mv", "output_percent",
        "verdict" },
    notes = {
        "bz: + when the pole shows north. output: for a string moving up at 1 m/s, coil alone, nothing connected;",
        "its sign is the phase against other pickups. field, output in per cent: beside the best of the sixteen.",
        "Output falls less than the field does, because a string near a strong pole is saturated.",
        "Magnets of one grade differ by more than the mesh error.", readings:mesh_error(),
    },
}
local working = {}
for _, row in ipairs(readings) do
    local field_percent = 100 * math.abs(row.bz_mt) / best_field
    local output_percent = 100 * math.abs(row.output_mv) / best_output
    local says = verdict(field_percent, output_percent, row.bz_mt)
    all:add{
        bridge_bar = row.bridge_bar, neck_bar = row.neck_bar,
        bz_mt = row.bz_mt, bz_gauss = row.bz_gauss, field_percent = field_percent,
        output_mv = row.output_mv, output_percent = output_percent, verdict = says,
    }
    if string.find(says, "works") then
        working[#working + 1] = "'" .. row.bridge_bar .. "' with '" .. row.neck_bar .. "'"
    end
end
all:print()
print(#working .. " of 16 work: " .. table.concat(working, " and ") .. ".\n")

-- End for end: the bass end goes to the treble side and the same face still looks at the poles.
local bridge_round, neck_round = bridge_bar:turned("y", 180), neck_bar:turned("y", 180)
local turned = ll.sweep{
    vary = { { "turned", { "neither", "bridge bar", "both bars" } } },
    build = function(v)
        return pickup(v.turned == "neither" and bridge_bar or bridge_round, v.turned == "both bars" and neck_round or neck_bar)
    end,
    read = read,
}
local ends = ll.table{
    title = "Bars turned end for end, north face still to the poles",
    columns = { "turned", "bz_mt", "bz_gauss", "output_mv", "change_percent" },
    notes = { "change: of the output. A bar that is charged evenly has no bass and no treble end.",
        turned:mesh_error() },
}
for _, row in ipairs(turned) do
    ends:add{ turned = row.turned, bz_mt = row.bz_mt, bz_gauss = row.bz_gauss, output_mv = row.output_mv,
        change_percent = 100 * (row.output_mv / turned[1].output_mv - 1) }
end
ends:print()
