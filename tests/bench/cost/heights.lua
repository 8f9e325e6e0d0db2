-- Six steel rods between two ferrite bars and six strings: the output at some heights of the third rod.  rows=2
-- SPDX-License-Identifier: GPL-3.0-or-later
local rod = ll.rod{ diameter = 4.9, length = 18, at = { 0, 0, -8 }, material = "steel 1018" }
local bar = ll.block{ size = { 62, 12, 3.2 }, at = { 0, -9, -12 }, material = "ferrite C5", north = "+y" }
local bars = { bar, bar:with{ at = { 0, 9, -12 }, north = "-y" } }
local coil = ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 58, 6 }, build = 7, height = 8, at = { 0, 0, -4 } }
local strings = {}
for i = 1, 6 do
    strings[i] = ll.string{ note = "D3", gauge = 0.43, x = (i - 3.5) * 10.2, z = 5 }
end
local heights = {}
for row = 1, given.rows or 2 do
    heights[row] = 0.1 * row
end
ll.sweep{
    vary = { { "height_mm", heights } },
    build = function(v)
        local rods = {}
        for i = 1, 6 do
            rods[i] = rod:with{ name = "rod " .. i, at = { (i - 3.5) * 10.2, 0, (i == 3 and v.height_mm or 1) - 8 } }
        end
        return ll.pickup{ parts = { rods, bars }, coils = { coil }, accuracy = 1 }
    end,
    read = function(p)
        return { third_mv = p:sensitivity{ strings = strings }[3].vertical_mv }
    end,
}:print()
