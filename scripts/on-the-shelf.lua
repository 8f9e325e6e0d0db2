-- What would each part on the shelf change: gauss at the string, level, peak, pull?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- A single coil with steel poles on a bar magnet. Each line of the shelf takes another bar, other poles, or another wire; what does not go
-- into the room that the caliper found is told so and not computed. Change the two tables below to what lies on your bench. Strong
-- magnets pinch and shatter: see docs/cautions.md before you try one.
--
--   lodeloom run on-the-shelf
--   lodeloom run on-the-shelf gap=2 cable_m=3

local gap, cable_m = given.gap or 2.4, given.cable_m or 5
local string_d = ll.string{ name = "D", note = "D3", gauge = 0.66, core = 0.38, wound = true, x = -5.2, gap = gap, scale = 648,
    from_bridge = 150, wrap = "nickel-plated steel" }

-- As it is, in millimetres.
local now = { says = "as it is", bar = { 60, 12, 4 }, grade = "ferrite C5", pole = 4.8, steel = "steel 1018", gauge = 42, turns = 7000 }
-- What there is room for: bar's length, width and thickness; holes for the poles; the winding's thickness and height.
local room = { bar = { 62, 13, 5 }, hole = 4.9, build = 5.2, height = 9 }

-- Each names what it changes.
local shelf = {
    { says = "bar of AlNiCo 5", grade = "AlNiCo 5" },
    { says = "ferrite bar, 5 mm thick", bar = { 60, 12, 5 } },
    { says = "ferrite bar, 6.4 mm thick", bar = { 60, 12, 6.4 } },
    { says = "short bar of NdFeB", bar = { 40, 10, 3 }, grade = "NdFeB N42" },
    { says = "poles of 1010", steel = "steel 1010" },
    { says = "poles 4.5 mm thick", pole = 4.5 },
    { says = "poles 5 mm thick", pole = 5 },
    { says = "AWG 43, 8500 turns", gauge = 43, turns = 8500 },
    { says = "AWG 41, 7000 turns", gauge = 41 },
}

local function with(change)
    local all = {}
    for key, value in pairs(now) do
        all[key] = value
    end
    for key, value in pairs(change) do
        all[key] = value
    end
    return all
end

-- Nothing where it fits, or what stands in the way.
local function in_the_way(b)
    for i, what in ipairs{ "long", "wide", "thick" } do
        if b.bar[i] > room.bar[i] then
            return string.format("too %s by %.1f mm", what, b.bar[i] - room.bar[i])
        end
    end
    if b.pole > room.hole then
        return string.format("poles too thick by %.1f mm", b.pole - room.hole)
    end
    local plan = ll.winding_plan{ opening = { 58, 6.8 }, room = room.build, height = room.height, wires = { ll.awg(b.gauge) }, turns = b.turns }
    if plan[1] and plan[1].fits == "no" then
        return string.format("winding fills %.0f %% of its room", plan[1].filled_percent)
    end
end

local function built(b)
    local poles = ll.row{ count = 6, spacing = 10.4, part = ll.rod{ diameter = b.pole, length = 14, at = { 0, 0, -6 }, material = b.steel } }
    local bar = ll.block{ name = "bar", size = b.bar, at = { 0, 0, -13.1 - b.bar[3] / 2 }, material = b.grade, north = "+z" }
    local coil = ll.coil{ turns = b.turns, wire = ll.awg(b.gauge), opening = { 58, 6.8 }, build = room.build, height = room.height,
        at = { 0, 0, -6 } }
    return ll.pickup{ name = b.says, parts = { poles, bar }, coils = { coil }, accuracy = 5 }
end

local function level_of(p)
    return 20 * math.log(math.abs(p:sensitivity{ strings = string_d }[1].vertical_mv), 10)
end

-- A sweep over the parts, so that the worst mesh error of all that was read stands under the table.
local builds, names = { [now.says] = now }, { now.says }
for i, change in ipairs(shelf) do
    builds[change.says], names[i + 1] = with(change), change.says
end
local as_it_is = level_of(built(now))

local t = ll.sweep{
    title = "what is on the shelf",
    vary = { { "part", names } },
    columns = { "fits", "at_string_gauss", "level_db", "peak_hz", "pull_mn", "pull_heard_as" },
    build = function(v)
        return builds[v.part]
    end,
    read = function(b)
        local fault = in_the_way(b)
        if fault then
            return { fits = fault }
        end
        local p = built(b)
        local pull = p:pull{ strings = string_d }[1]
        return { fits = "yes", at_string_gauss = 10 * p:field{ points = { { -5.2, 0, 1 + gap } } }[1].bz_mt,
            level_db = level_of(p) - as_it_is, pull_mn = pull.force_mn, pull_heard_as = pull.heard_as,
            peak_hz = ll.network{ from = p, volume = 250 * ll.kohm, cable_m = cable_m, input = 1e6 }:peak()[1].f_hz }
    end,
}
t:note("gauss: where the string runs over the third pole, the string away; level: against the pickup as it is")
t:note("peak: into a pot of 250 kohm, " .. cable_m .. " m of cable and 1 Mohm")
t:note("pull: of the magnets at the string, towards the pickup, and whether it warbles")
t:print()
