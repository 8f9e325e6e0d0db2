-- What do the two bars of this pickup do? Its drawing, its field, and what the strings meet, as pictures.
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- The pickup of two-bar-quarter-turns. Three files go into the folder of --out: a drawing with dimensions to hold against
-- the real thing, a map of the field across the fourth pole, and the field along the strings' height. Turn the bars and
-- look again:
--
--   lodeloom run two-bar-field --out .
--   lodeloom run two-bar-field --out . bridge=up neck=down format=svg

local spacing = given.spacing or 10.2     -- from pole to pole
local gap = given.gap or 2.5              -- clear distance from a pole's top to its string
local magnet = given.magnet or "ferrite C5"
local format = given.format or "png"      -- or svg, pdf

-- Where each bar's north face looks, as a quarter turn about its long axis.
local ways = { poles = { 0, "to the poles" }, up = { 90, "up" }, away = { 180, "away" }, down = { 270, "down" } }
local function way_of(name)
    return ways[name] or error("bridge and neck are poles, up, away or down, not " .. name)
end

local poles = ll.row{ count = 6, spacing = spacing,
    part = ll.rod{ diameter = 5, length = 18, at = { 0, 0, -8 }, material = "steel 1018" } }
local bridge_bar = ll.block{ name = "bridge bar", size = { 60, 10, 4 }, at = { 0, -8, -12 }, material = magnet,
    north = "+y" }
local neck_bar = ll.block{ name = "neck bar", size = { 60, 10, 4 }, at = { 0, 8, -12 }, material = magnet,
    north = "-y" }
local coil = ll.coil{ turns = 8000, wire = ll.awg(42),
    opening = { 5 * spacing + 6, 6 }, build = 8, height = 6, at = { 0, 0, -3 } }

local bridge, neck = way_of(given.bridge or "poles"), way_of(given.neck or "poles")
local p = ll.pickup{ name = "North: bridge bar " .. bridge[2] .. ", neck bar " .. neck[2],
    parts = { poles, bridge_bar:turned("x", bridge[1]), neck_bar:turned("x", -neck[1]) },
    coils = { coil }, accuracy = 1 }

local strings = {}
for i, set in ipairs{ { "E2", 1.17 }, { "A2", 0.91 }, { "D3", 0.66 }, { "G3", 0.43 }, { "B3", 0.33 }, { "E4", 0.25 } } do
    strings[i] = ll.string{ note = set[1], gauge = set[2], x = (i - 3.5) * spacing, gap = gap }
end

p:draw{ file = "two-bar-drawing." .. format, strings = strings }
p:map{ file = "two-bar-map." .. format, plane = "yz", at = spacing / 2, points = given.points or 100 }

-- Across the strings, at the height of the thinnest one: peaks over the poles, dips between them.
local points = {}
for i, x in ipairs(ll.range(-40, 40, 0.5)) do
    points[i] = { x, 0, 1 + gap }
end
local line = p:field(points)
line:titled("Field " .. gap .. " mm over the poles"):plot{ file = "two-bar-line." .. format, x = "x_mm",
    y = { "bx_mt", "bz_mt" } }

-- The figures behind the picture, for those who cannot see it.
local most, least = 0, math.huge
for _, row in ipairs(line) do
    if math.abs(row.x_mm) < 2.5 * spacing then
        most, least = math.max(most, row.b_mt), math.min(least, row.b_mt)
    end
end
ll.table{ title = "Flux density at the strings' height, between the outer poles", columns = { "most_mt", "least_mt" },
    rows = { { most_mt = most, least_mt = least } }, notes = { line:mesh_error() } }:print()
