-- Readings in a wrong unit or of a wrong form are asked back; what is said must be that of asked.expected.
local rod = ll.rod{ name = "pole 1", diameter = 4.8, length = 17, at = { 0, 0, -8.5 },
    material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" }
local coil = ll.coil{ turns = 7900, wire = ll.awg(42), opening = { 58, 5.2 }, build = 3.5, height = 11, at = { 0, 0, -8 } }
local p = ll.pickup{ parts = { rod, ll.rod{ name = "pole 2", diameter = 4.8, length = 17, at = { 10, 0, -8.5 },
    material = rod.material, north = "+z", pole = true } }, coils = { coil } }

local sound = p:poles{ standoff = 1 }[1].bz_mt -- what a meter in millitesla shows

local function first(readings)
    local fine, d = pcall(ll.diagnose, { build = p, readings = readings })
    return fine and d.faults[1].fault or d
end

local asked = {
    { dcr = 5.7 }, { dcr = "5.7k" }, { dcr = "6,2" }, { coil_dcr = { 5.7, 6 } }, { inductance = { f = 1000, l = 2400 } },
    { inductance = { f = 1, l = 1.7 } }, { inductance = { f = 1000, l = 1.7, r = 5.8 } }, { inductance = { f = 1000, l = 1.7, d = 3 } },
    { inductance = { f = 1000, l = 1.7, r = 5800, q = 2 } }, { resonance = { f = 6.1 } }, { resonance = { f = 6100, cable = 500 } },
    { gauss = { sound, sound } }, { gauss = { sound / 1000, sound / 1000 } }, { gauss = 1000 }, { gauss = { "980", 980 } }, { tap = "a lot" },
    { dcr = 5740, temperature = 293 },
}
for i, readings in ipairs(asked) do
    print(i .. ": " .. first(readings))
end

-- Taken as they are.
for _, readings in ipairs{ { dcr = false, gauss = false }, { dcr = 5740 }, { dcr = 5.7, sure = true }, { dcr = "open" },
    { gauss = { 5 * sound, 5 * sound } }, { gauss = { 10 * sound, false } } } do
    assert(not string.find(first(readings), "asked.lua", 1, true), first(readings))
end
-- The quality of a bridge stands for its resistance: r = 2 pi f l / q.
local by_r = ll.diagnose{ build = p, readings = { inductance = { f = 1000, l = 1.7, r = 2 * math.pi * 1700 / 2 } } }
local by_q = ll.diagnose{ build = p, readings = { inductance = { f = 1000, l = 1.7, q = 2 } } }
assert(math.abs(by_r.faults[1].probability_percent - by_q.faults[1].probability_percent) < 1e-6)
