-- The first diagnosis of a pickup: of two coils around 12 poles and a bar, or of three around 36 poles and nine bars.  coils=3
-- SPDX-License-Identifier: GPL-3.0-or-later
local count = given.coils or 2
local each, spacing, bars = count == 2 and 6 or 12, count == 2 and 10.2 or 5.1, count == 2 and 1 or 3
local steel = ll.rod{ diameter = count == 2 and 4.8 or 3.6, length = 14, at = { 0, 0, -7 }, material = "steel 1018", pole = true }

local parts, coils = {}, {}
for c = 1, count do
    local y = (c - (count + 1) / 2) * 19
    for i = 1, each do
        parts[#parts + 1] = steel:with{ name = "pole " .. c .. "." .. i, at = { (i - (each + 1) / 2) * spacing, y, -7 } }
    end
    coils[c] = ll.coil{ name = "coil " .. c, turns = 5000, wire = ll.awg(42), opening = { count == 2 and 58 or 62, 5.4 }, build = 5.5, height = 8,
        at = { 0, y, -6 }, hot = c % 2 == 0 and "start" or "finish" }
    for b = 1, bars == 1 and (c == 1 and 1 or 0) or bars do
        local middle = bars == 1 and 0 or y
        parts[#parts + 1] = ll.block{ name = "bar " .. c .. "." .. b, size = { bars == 1 and 62 or 20, 12.7, 3.2 },
            at = { bars == 1 and 0 or (b - 2) * 21, middle, -17 }, material = "ferrite C8", north = bars == 1 and "+y" or "+z" }
    end
end
local strings = {}
for i, gauge in ipairs{ 1.17, 0.91, 0.66, 0.43, 0.33, 0.25 } do
    strings[i] = ll.string{ note = ({ "E2", "A2", "D3", "G3", "B3", "E4" })[i], gauge = gauge, wound = i < 4, x = (i - 3.5) * 10.2, z = 4 }
end
local build = ll.pickup{ parts = parts, coils = coils, accuracy = 3 }
ll.diagnose{ build = build, strings = strings, readings = { dcr = count * 4100, temperature = 22, output = -6 } }.faults:print()
