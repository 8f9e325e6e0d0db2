-- A balance is heard in full: no single screw, turned a little further, makes the strings more even.
local rod = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 5", north = "up" }
local coil = ll.coil{ turns = 7800, wire = ll.awg(42), opening = { 36, 5 }, build = 3.5, height = 11, at = { 0, 0, -8 } }
local p = ll.pickup{ parts = { ll.row{ count = 3, spacing = 10.4, part = rod } }, coils = { coil } }
local set = ll.string_set{ set = "10-46", spacing = 10.4, gap = 2.5 }
local strings = {}
for s, number in ipairs{ 1, 4, 6 } do
    strings[s] = set[number]:with{ x = (s - 2) * 10.4 }
end
local function spread(build, placed)
    local least, most = math.huge, -math.huge
    for _, row in ipairs(build:output{ strings = placed, partials = 1 }) do
        local db = 20 * math.log(row.rms_mv, 10)
        least, most = math.min(least, db), math.max(most, db)
    end
    return most - least
end
local t, set_up = ll.balance{ build = p, strings = strings }
local heights, placed = {}, {}
for s, row in ipairs(t) do
    heights[s] = row.raise_mm
    placed[s] = strings[s]:with{ gap = row.gap_mm }
end
local reached = spread(set_up, placed)
local told = math.max(t[1].after_db, t[2].after_db, t[3].after_db) - math.min(t[1].after_db, t[2].after_db, t[3].after_db)
assert(math.abs(reached - told) < 0.02, told)
for s in ipairs(heights) do
    for _, by in ipairs{ -0.4, 0.4 } do
        if heights[s] + by >= -2 and t[s].gap_mm - by >= 1.5 then
            local parts, over = {}, { table.unpack(placed) }
            for k, h in ipairs(heights) do
                parts[k] = rod:moved((k - 2) * 10.4, 0, h + (k == s and by or 0))
            end
            over[s] = strings[s]:with{ gap = t[s].gap_mm - by }
            local there = spread(ll.pickup{ parts = parts, coils = { coil } }, over)
            assert(there > reached - 0.1, "string " .. s .. " moved by " .. by .. ": " .. there .. " dB, and " .. reached .. " was settled for")
        end
    end
end
