-- A row of rods: fields over them, or all that is asked of six strings.  count=6 strings=1
-- SPDX-License-Identifier: GPL-3.0-or-later
local count = given.count or 6
local rod = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 5", north = "+z" }
local heights = { 0, 1.2, 0.6, 0.3, 0.9, 0 } -- staggered as strings of a light set want it

local rods = {}
for i = 1, count do
    local lift = given.strings and heights[(i - 1) % 6 + 1] or 0
    rods[i] = rod:with{ name = "rod " .. i, at = { (i - (count + 1) / 2) * 10.4, 0, lift - 8.5 } }
end
local coil = ll.coil{ turns = 7900, wire = ll.awg(42), opening = { 58, 5.4 }, build = 4, height = 11, at = { 0, 0, -8.5 } }
local p = ll.pickup{ parts = rods, coils = given.strings and { coil } or nil }

if given.strings then
    local strings = {}
    for i, s in ipairs{ { "E2", 1.17 }, { "A2", 0.91 }, { "D3", 0.66 }, { "G3", 0.43 }, { "B3", 0.33 }, { "E4", 0.25 } } do
        strings[i] = ll.string{ note = s[1], gauge = s[2], wound = i < 4, x = (i - 3.5) * 10.4, z = 4 }
    end
    p:poles{ standoff = 1 }:print()
    p:sensitivity{ strings = strings }:print()
    p:pull{ strings = strings }:print()
    p:winding():print()
else
    local x = count % 2 == 0 and 5.2 or 0
    p:field{ { x, 0, 1.5 }, { x, 0, 2 }, { x, 0, 3 }, { x, 0, 5 }, { 0, 0, 1.5 }, { 0, 0, 3 }, { x, 2.4, 1.5 }, { x, 2.4, 3 } }:print()
end
