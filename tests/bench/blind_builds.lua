-- Five constructions as they should be: { name, parts, coils, strings } each, for the blind study.
-- Short AlNiCo demagnetises itself and is nearly as strong with half its charge as with all of it. These magnets are
-- charged so that they have four fifths of the most they can have, and scatter both ways.
-- SPDX-License-Identifier: GPL-3.0-or-later
local gauges = { { "E2", 1.17, true }, { "A2", 0.91, true }, { "D3", 0.66, true }, { "G3", 0.43, false },
    { "B3", 0.33, false }, { "E4", 0.25, false } }

local function strings(spacing, z)
    local list = {}
    for i, s in ipairs(gauges) do
        list[i] = ll.string{ name = s[1], note = s[1], gauge = s[2], wound = s[3], x = (i - 3.5) * spacing, z = z + s[2] / 2 }
    end
    return list
end

local function spread_out(...)
    local list = {}
    for _, item in ipairs{ ... } do
        if type(item) == "table" then
            for _, part in ipairs(item) do
                list[#list + 1] = part
            end
        else
            list[#list + 1] = item
        end
    end
    return list
end

local function two_bars()
    local poles = ll.row{ count = 6, spacing = 10.2,
        part = ll.rod{ diameter = 5, length = 18, at = { 0, 0, -8 }, material = "steel 1018" } }
    local bridge = ll.block{ name = "bridge bar", size = { 60, 10, 4 }, at = { 0, -8, -12 }, material = "ferrite C5",
        north = "+y", charge = 0.85 }
    local neck = bridge:with{ name = "neck bar", at = { 0, 8, -12 }, north = "-y" }
    return { name = "two bars, steel poles", parts = spread_out(poles, bridge, neck), strings = strings(10.2, 3.5),
        coils = { ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 57, 6 }, build = 8, height = 6, at = { 0, 0, -3 } } } }
end

local function six_rods()
    local rods = ll.row{ count = 6, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 },
        material = "AlNiCo 5", north = "+z", charge = 0.5 } }
    return { name = "six AlNiCo rods", parts = spread_out(rods), strings = strings(10.4, 2.5),
        coils = { ll.coil{ turns = 7800, wire = ll.awg(42), opening = { 58, 6 }, build = 4, height = 11, at = { 0, 0, -8 } } } }
end

local function two_coils()
    local slug = ll.rod{ diameter = 4.8, length = 13, at = { 0, 9, -5.5 }, material = "steel 1010" }
    local screw = ll.rod{ diameter = 3.4, length = 18, at = { 0, -9, -8 }, material = "steel 1010", pole = false }
    local slugs = ll.row{ count = 6, spacing = 10.2, part = slug }
    local screws = ll.row{ count = 6, spacing = 10.2, part = screw, name = "screw" }
    local bar = ll.block{ name = "bar", size = { 60, 12, 3.2 }, at = { 0, 0, -13.7 }, material = "ferrite C5", north = "+y",
        charge = 0.85 }
    local coil = ll.coil{ name = "slug coil", turns = 5000, wire = ll.awg(42), opening = { 57, 6 }, build = 4.5, height = 8,
        at = { 0, 9, -5 } }
    local other = coil:with{ name = "screw coil", at = { 0, -9, -5 }, hand = "cw" }
    return { name = "two coils, one bar", parts = spread_out(slugs, screws, bar), strings = strings(10.2, 3),
        coils = { coil, other } }
end

local function blade()
    local steel = ll.block{ name = "blade", size = { 64, 3, 16 }, at = { 0, 0, -7 }, material = "steel 1018", pole = true }
    local bridge = ll.block{ name = "bridge bar", size = { 62, 8, 4 }, at = { 0, -6, -13 }, material = "AlNiCo 5",
        north = "+y", charge = 0.32 }
    local neck = bridge:with{ name = "neck bar", at = { 0, 6, -13 }, north = "-y" }
    return { name = "blade between bars", parts = { steel, bridge, neck }, strings = strings(9.5, 4),
        coils = { ll.coil{ turns = 6500, wire = ll.awg(41), opening = { 66, 4.5 }, build = 6, height = 8, at = { 0, 0, -5 } } } }
end

local function bass_pairs()
    local rods = {}
    for i = 1, 8 do
        local x = ((i - 1) // 2 - 1.5) * 19 + (i % 2 == 1 and -4.5 or 4.5)
        rods[i] = ll.rod{ name = "pole " .. i, diameter = 4.8, length = 15, at = { x, 0, -7.5 }, material = "AlNiCo 5",
            north = "+z", charge = 0.42 }
    end
    local set = {}
    for i, s in ipairs{ { "E1", 2.6 }, { "A1", 2.0 }, { "D2", 1.6 }, { "G2", 1.1 } } do
        set[i] = ll.string{ name = s[1], note = s[1], gauge = s[2], wound = true, x = (i - 2.5) * 19, z = 3.5 + s[2] / 2 }
    end
    return { name = "bass, two rods a string", parts = rods, strings = set,
        coils = { ll.coil{ turns = 9500, wire = ll.awg(42), opening = { 76, 6 }, build = 5, height = 9, at = { 0, 0, -7 } } } }
end

return { two_bars(), six_rods(), two_coils(), blade(), bass_pairs() }
