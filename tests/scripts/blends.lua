-- Two single-coil pickups in the four ways of magnet and winding: phase, hum, and what mends them (common practice, no
-- source). The screwdriver test and the compass say the same.
local function pickup(hand, charge, name)
    local magnet = ll.magnet{ remanence = 1200, recoil = 1 }
    return ll.pickup{ name = name,
        parts = { ll.row{ count = 6, spacing = 10.2, part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -6 },
            material = magnet, north = "+z", charge = charge } } },
        coils = { ll.coil{ turns = 7800, opening = { 57, 5.5 }, build = 3.5, height = 11, at = { 0, 0, -6 }, hand = hand,
            dcr = 6500, capacitance = 100 * ll.pf } } }
end
local string = ll.string{ note = "E4", gauge = 0.254, scale = 648, x = 25.5, gap = 2.5 }
local neck = pickup("ccw", 1, "neck")
local cases = {
    { hand = "ccw", charge = 1, phase = "in phase", cancels = false, cure = "nothing single" },
    { hand = "cw", charge = 1, phase = "out of phase", cancels = true, cure = "turn the magnet" },
    { hand = "ccw", charge = -1, phase = "out of phase", cancels = false, cure = "swap the leads" },
    { hand = "cw", charge = -1, phase = "in phase", cancels = true, cure = "nothing to mend" },
}
local meter = neck:screwdriver()[1].meter
assert(neck:screwdriver()[1].shows == "N" and neck:screwdriver()[1].needle == "south")
for _, case in ipairs(cases) do
    local bridge = pickup(case.hand, case.charge, "bridge")
    local t = ll.blend{ pickups = { neck, bridge }, strings = string, from_bridge = { 160, 45 } }
    assert(t.phase == case.phase and (t.hum_db < -30) == case.cancels)
    assert(t:as("text"):find(case.cure, 1, true), case.cure)
    assert((bridge:screwdriver()[1].meter == meter) == (case.phase == "in phase"))
    -- Two equal pickups: twice as loud, or nothing. The first notch lies where 115 mm is half a wave, or a whole one.
    local wave = 2 * 648 * string:frequency()
    if case.phase == "in phase" then
        assert(math.abs(t.level_db - 6.02) < 0.01 and math.abs(t.notch_hz - wave / 230) < 1)
    else
        assert(t.level_db < -40 and math.abs(t.notch_hz - wave / 115) < 1)
    end
    assert(math.abs(t.coupling) < 0.01)
end

-- A string without 'scale' has the usual one.
local usual = ll.blend{ pickups = { neck, pickup("ccw", 1, "bridge") }, from_bridge = { 160, 45 },
    strings = { ll.string{ note = "E4", gauge = 0.254, x = 25.5, gap = 2.5 } } }
assert(math.abs(usual.notch_hz - 2 * 648 * string:frequency() / 230) < 1)

-- Of n and m turns side by side in even hum |n - m| of n + m are left; 10 dB less count as hum-cancelling (common practice, no source).
local function few(turns, dcr, hand)
    local other = pickup(hand or "cw", -1, "bridge")
    return other:with{ coils = { ll.coil{ turns = turns, opening = { 57, 5.5 }, build = 3.5, height = 11, at = { 0, 0, -6 },
        hand = hand or "cw", dcr = dcr or 4000, capacitance = 100 * ll.pf } } }
end
for turns, words in pairs{ [5000] = "hum-cancelling by 13 dB", [3000] = "not hum-cancelling (7 dB" } do
    local t = ll.blend{ pickups = { neck, few(turns) }, strings = string }
    assert(math.abs(t.hum_db - 20 * math.log((7800 - turns) / (7800 + turns), 10)) < 0.01, t.hum_db)
    assert(t:as("text"):find(words, 1, true), t:as("text"))
end

-- In parallel each is loaded by the other: the mean of both, weighed with the conductances (J. Millman, Proc. IRE 28 (1940) 413),
-- against the louder one.
local weak = ll.blend{ pickups = { neck, few(3000, 2000) }, strings = string, wiring = "parallel" }
assert(math.abs(weak.level_db - 20 * math.log((1 / 6500 + 3000 / 7800 / 2000) / (1 / 6500 + 1 / 2000), 10)) < 0.01, weak.level_db)

-- Two windings side by side oppose each other, the less the farther apart they are, far off as dipoles: as the cube of the distance.
-- Swapped leads and the start as hot lead turn the sign, each of them.
local function mutual(second, far, more)
    local fields = { pickups = { neck, second }, strings = string, from_bridge = { 45 + far, 45 } }
    for key, value in pairs(more or {}) do
        fields[key] = value
    end
    return ll.blend(fields)[1].mutual_h
end
local bridge = pickup("ccw", 1, "bridge")
local beside, start = mutual(bridge, 115), bridge:with{ coils = { bridge.coils[1]:with{ hot = "start" } } }
assert(beside < 0 and math.abs(mutual(bridge, 800) / mutual(bridge, 400) - 1 / 8) < 0.01)
assert(math.abs(mutual(start, 115) / beside + 1) < 1e-9)
assert(math.abs(mutual(bridge, 115, { reversed = { false, true } }) / beside + 1) < 1e-9)
assert(math.abs(mutual(start, 115, { reversed = { false, true } }) / beside - 1) < 1e-9)

-- Swapped leads do what the cure says.
local mended = ll.blend{ pickups = { neck, pickup("ccw", -1, "bridge") }, strings = string, reversed = { false, true } }
assert(mended.phase == "in phase" and mended.hum_db < -30)

-- One coil takes up 2 pi f B turns area: 1 uT, 7800 turns of a racetrack of 60.5 x 9 mm in the middle of its build.
local even = pickup("ccw", 1):hum{ f = 50, field = 0.001 }[3].even_mv
assert(math.abs(even) > 1.1 and math.abs(even) < 1.4)
