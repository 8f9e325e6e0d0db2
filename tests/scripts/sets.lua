-- Rows with heights, places and a radius; sets of strings by name.
local rod = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 5", north = "+z" }
local staggered = ll.row{ heights = { 0, 0.8, 1.2 }, spacing = 10, part = rod }
assert(#staggered == 3 and math.abs(staggered[2].at[3] + 7.7) < 1e-9 and staggered[3].at[1] == 10)
local fanned = ll.row{ places = { -27, -16, -5.2, 5.4, 16.3, 27.5 }, part = rod }
assert(#fanned == 6 and fanned[6].at[1] == 27.5 and fanned[1].name == "pole 1")
-- An arc of 240 mm has fallen by 240 - sqrt(240^2 - 25^2) = 1.3056 mm at 25 mm (Pythagoras).
local arc = ll.row{ count = 2, spacing = 50, radius = 240, part = rod }
assert(math.abs(arc[1].at[3] + 8.5 + 1.3056) < 1e-3, arc[1].at[3])
local along = ll.row{ count = 2, spacing = 8, along = "y", heights = { 0, 1 }, part = rod }
assert(along[2].at[2] == 4 and along[2].at[3] == -7.5)
local function refused(text, call, fields)
    local fine, message = pcall(call, fields)
    assert(not fine and string.find(message, text, 1, true), message)
end
refused("'heights' and 'places' are lists with one value for each of the 6", ll.row, { count = 6, spacing = 10, heights = { 0, 1 }, part = rod })
refused("'count' (how many) is missing", ll.row, { spacing = 10, part = rod })
refused("'spacing' (from middle to middle) is missing", ll.row, { count = 6, part = rod })
refused("'radius' 20 mm is smaller than half", ll.row, { count = 6, spacing = 10, radius = 20, part = rod })

-- Bass side first; 10-46 has .046 in on the low E and .010 on the high one, of which the upper three are plain (common practice, no
-- source).
local set = ll.string_set{ set = "10-46", spacing = 10.4, gap = 2.2 }
assert(#set == 6 and set[1].note == "E2" and set[6].note == "E4")
assert(math.abs(set[1].gauge - 46 * 0.0254) < 1e-9 and math.abs(set[6].gauge - 0.254) < 1e-9)
for i, s in ipairs(set) do
    assert((s.wound == true) == (i <= 3), s.note)
end
assert(set[1].x == -26 and set[6].x == 26)
-- The names say the outer gauges of every set that is listed, and tensions are what hands and necks bear: 30 to 250 N.
for _, name in ipairs{ "9-42", "9-46", "10-46", "10-52", "11-49", "12-54", "13-62", "45-105", "50-110", "45-130", "10-74", "15-36" } do
    local strings = ll.string_set{ set = name, spacing = 10, z = 2, radius = 300 }
    local thin, thick = string.match(name, "(%d+)-(%d+)")
    assert(math.abs(strings[1].gauge - thick * 0.0254) < 1e-9 and math.abs(strings[#strings].gauge - thin * 0.0254) < 1e-9, name)
    for _, s in ipairs(strings) do
        -- Tension 4 mu f^2 L^2 with mu of solid steel, which a wound string's is below.
        local newton = 4 * 7850 * math.pi / 4 * (s.gauge / 1000) ^ 2 * s:frequency() ^ 2 * (s.scale / 1000) ^ 2
        assert(newton > 30 and newton < 320, name .. " " .. s.note .. " " .. newton)
    end
    assert(strings[1].z < 2 + strings[1].gauge / 2)
end
refused("did you mean '10-46'", ll.string_set, { set = "10-45", spacing = 10, gap = 2 })
refused("one of them", ll.string_set, { set = "10-46", spacing = 10 })
refused("'spacing' (from string to string) is missing", ll.string_set, { set = "10-46", gap = 2 })
