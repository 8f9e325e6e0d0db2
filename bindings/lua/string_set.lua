-- string_set.lua - strings by the name of their set: gauges in thousandths of an inch from the treble side, w for wound, as they
-- are sold and tuned. Common practice, no source.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...

local function set(scale, notes, gauges)
    return { scale = scale, notes = notes, gauges = gauges }
end

local six, drop = "E4 B3 G3 D3 A2 E2", "B3 F#3 D3 A2 E2 B1"
local sets = {
    ["9-42"] = set(648, six, "9 11 16 24w 32w 42w"),
    ["9-46"] = set(648, six, "9 11 16 26w 36w 46w"),
    ["10-46"] = set(648, six, "10 13 17 26w 36w 46w"),
    ["10-52"] = set(648, six, "10 13 17 30w 42w 52w"),
    ["11-49"] = set(648, six, "11 14 18 28w 38w 49w"),
    ["12-54"] = set(648, six, "12 16 20w 32w 42w 54w"),
    ["13-62"] = set(686, drop, "13 17 26w 36w 46w 62w"),                       -- baritone
    ["45-105"] = set(864, "G2 D2 A1 E1", "45w 65w 80w 105w"),                  -- bass
    ["50-110"] = set(864, "G2 D2 A1 E1", "50w 70w 85w 110w"),
    ["45-130"] = set(864, "G2 D2 A1 E1 B0", "45w 65w 80w 105w 130w"),
    ["10-74"] = set(686, "E4 B3 G3 D3 A2 E2 B1 F#1", "10 13 17 26w 36w 46w 60w 74w"), -- eight strings
    ["15-36"] = set(572, "E4 C4 A3 G3 E3 C3", "15 18 20 22w 30w 36w"),         -- lap, C6
}

local function names()
    local list = {}
    for name in next, sets do
        list[#list + 1] = name
    end
    table.sort(list)
    return list
end

local function words(text)
    local list = {}
    for word in string.gmatch(text, "%S+") do
        list[#list + 1] = word
    end
    return list
end

local function set_named(name)
    local near = not sets[name] and core.nearest(name, names())
    return sets[name] or core.fail(string.format("string_set: there is no set '%s'%s; it has %s; others are lists for ll.strings", name,
        near and "; did you mean '" .. near .. "'?" or "", table.concat(names(), ", ")))
end

-- Bass side first, as everywhere.
function ll.string_set(fields)
    local given = core.read("string_set", fields, "string_set")
    if not given.set then
        return {}
    end
    local of, list = set_named(given.set), {}
    local notes, gauges = words(of.notes), words(of.gauges)
    local count = #notes
    if not given.spacing and not core.length_of(given.places) then
        core.fail("string_set: 'spacing' (from string to string) is missing, or 'places' of them all")
    elseif (given.gap == nil) == (given.z == nil) then
        core.fail("string_set: give 'gap' (clear distance from the pole below) or 'z' (of the undersides), one of them")
    end
    local places = core.places("string_set", count, given.spacing, given.places)
    for i = 1, count do
        local note, gauge = notes[count + 1 - i], gauges[count + 1 - i]
        local wound, mm = string.find(gauge, "w", 1, true) ~= nil, ll.thou(tonumber(string.match(gauge, "%d+")))
        list[i] = ll.string{ note = note, gauge = mm, wound = wound, wrap = wound and given.wrap or nil, x = places[i],
            scale = given.scale or of.scale, from_bridge = given.from_bridge, gap = given.gap,
            z = given.z and given.z - core.fall(given.radius, places[i]) + mm / 2 }
    end
    return list
end
