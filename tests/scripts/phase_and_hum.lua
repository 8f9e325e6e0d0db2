-- Forty ways to join two pickups, and what the trade says of each (common practice, no source). Strings add where magnet times winding
-- sense agree; hum cancels where the winding senses, as wired, are opposite. The sense as wired turns over with the winding's direction,
-- with start and finish exchanged, and with leads swapped at a switch. Series or parallel changes neither. The words stand here as they
-- were put down by hand.
local THIN_HUMS, THIN_CANCELS = "out of phase: thin, hums", "out of phase: thin, hum cancels"

-- The first is always north up, wound ccw, its finish hot: { magnet, hand, hot lead, wiring, leads swapped at the switch, phase, says,
-- what a needle does as a blade is pulled off the second }.
local singles = {
    { "N", "ccw", "finish", "series", false, "in phase", "hums", "positive" },
    { "N", "ccw", "finish", "parallel", false, "in phase", "hums", "positive" },
    { "N", "ccw", "start", "series", false, "out of phase", THIN_CANCELS, "negative" },
    { "N", "ccw", "start", "parallel", false, "out of phase", THIN_CANCELS, "negative" },
    { "N", "cw", "finish", "series", false, "out of phase", THIN_CANCELS, "negative" },
    { "N", "cw", "finish", "parallel", false, "out of phase", THIN_CANCELS, "negative" },
    { "N", "cw", "start", "series", false, "in phase", "hums", "positive" },
    { "N", "cw", "start", "parallel", false, "in phase", "hums", "positive" },
    { "S", "ccw", "finish", "series", false, "out of phase", THIN_HUMS, "negative" },
    { "S", "ccw", "finish", "parallel", false, "out of phase", THIN_HUMS, "negative" },
    { "S", "ccw", "start", "series", false, "in phase", "hum cancels", "positive" },
    { "S", "ccw", "start", "parallel", false, "in phase", "hum cancels", "positive" },
    { "S", "cw", "finish", "series", false, "in phase", "hum cancels", "positive" },
    { "S", "cw", "finish", "parallel", false, "in phase", "hum cancels", "positive" },
    { "S", "cw", "start", "series", false, "out of phase", THIN_HUMS, "negative" },
    { "S", "cw", "start", "parallel", false, "out of phase", THIN_HUMS, "negative" },
    -- A phase switch turns the sense as wired over: strings and hum at once.
    { "N", "ccw", "finish", "series", true, "out of phase", THIN_CANCELS, "positive" },
    { "N", "ccw", "finish", "parallel", true, "out of phase", THIN_CANCELS, "positive" },
    { "N", "cw", "finish", "series", true, "in phase", "hums", "negative" },
    { "N", "cw", "finish", "parallel", true, "in phase", "hums", "negative" },
    { "S", "ccw", "finish", "series", true, "in phase", "hum cancels", "negative" },
    { "S", "ccw", "finish", "parallel", true, "in phase", "hum cancels", "negative" },
    { "S", "cw", "finish", "series", true, "out of phase", THIN_HUMS, "positive" },
    { "S", "cw", "finish", "parallel", true, "out of phase", THIN_HUMS, "positive" },
}

-- Two pickups of two coils each, screws south up and wound cw, studs north up and wound ccw, in phase within themselves: { from, wiring,
-- which leads are swapped, phase, says }. A coil that is named alone is split off, the other one bypassed.
local splits = {
    { { "neck.screws", "bridge.screws" }, "parallel", { false, false }, "in phase", "hums" },
    { { "neck.studs", "bridge.studs" }, "parallel", { false, false }, "in phase", "hums" },
    { { "neck.screws", "bridge.studs" }, "parallel", { false, false }, "in phase", "hum cancels" },
    { { "neck.studs", "bridge.screws" }, "series", { false, false }, "in phase", "hum cancels" },
    { { "neck.studs", "bridge.studs" }, "series", { false, true }, "out of phase", THIN_CANCELS },
    { { "neck.screws", "bridge.studs" }, "series", { true, false }, "out of phase", THIN_HUMS },
    { { "neck", "bridge" }, "parallel", { false, false }, "in phase", "hum cancels" },
    { { "neck", "bridge" }, "parallel", { false, true }, "out of phase", THIN_CANCELS },
    { { "neck", "bridge" }, "series", { false, true }, "out of phase", THIN_CANCELS },
    { { "neck", "bridge.screws" }, "parallel", { false, false }, "in phase", "hums" }, -- as the one coil that nothing cancels
    { { "neck" }, "series", { false }, "in phase", "hum cancels" },
    { { "neck.screws" }, "series", { false }, nil, "hums" },
    { { "neck.screws", "neck.studs" }, "series", { false, false }, "in phase", "hum cancels" },
    { { "neck.screws", "neck.studs" }, "parallel", { false, false }, "in phase", "hum cancels" },
    { { "neck.screws", "neck.studs" }, "parallel", { false, true }, "out of phase", THIN_HUMS },
    { { "neck.screws", "neck.studs" }, "series", { true, false }, "out of phase", THIN_HUMS },
}
assert(#singles + #splits == 40)

local strings = ll.string{ note = "G3", gauge = 0.43, x = 0, gap = 2.5, scale = 648 }
local material = ll.magnet{ remanence = 1200, recoil = 1 }

-- One rod in one coil, `y` along the string from the pickup's middle.
local function rod(face, y)
    return ll.rod{ diameter = 5, length = 16, at = { 0, y, -8 }, material = material, north = face == "N" and "+z" or "-z", pole = true }
end
local function coil(hand, hot, y, name)
    return ll.coil{ name = name, turns = 7000, opening = { 6, 6 }, build = 4, height = 10, at = { 0, y, -8 }, hand = hand, hot = hot,
        dcr = 6000, capacitance = 100 * ll.pf }
end
local function single(face, hand, hot)
    return ll.pickup{ parts = { rod(face, 0) }, coils = { coil(hand, hot, 0) } }
end
local controls = { volume = 500 * ll.kohm, cable = 500 * ll.pf, input = 1e6 }

local function expect(case, row, phase, says)
    local what = table.concat(case, " ", 1, type(case[1]) == "string" and 4 or 0)
    assert(row.phase == phase and row.says == says, string.format("%s %s: %s, %s", what, row.position, row.phase, row.says))
    -- Equal coils: nothing of the hum is left, or all of it.
    if says:find("hum cancels", 1, true) then
        assert(row.hum_db == nil or row.hum_db < -30, row.hum_db)
    end
end

local first = single("N", "ccw", "finish")
local measured = ll.lumped{ r = 6000, l = first:winding().l_h, c = 100 * ll.pf }
for _, case in ipairs(singles) do
    local face, hand, hot, wiring, swapped, phase, says, meter = table.unpack(case, 1, 8)
    local second = single(face, hand, hot)
    -- Blade and compass say of the described one what the table has.
    local test = second:screwdriver()[1]
    assert(test.shows == face and test.meter == meter, test.meter)
    local positions = { { from = { "neck", "bridge" }, wiring = wiring, reversed = { false, swapped } }, "neck" }
    local bridges = { { name = "bridge", pickup = second, from_bridge = 60 },
        { name = "bridge", coil = measured, from_bridge = 60, shows = face, meter = meter, level = -1 } }
    for _, bridge in ipairs(bridges) do
        local t = ll.instrument{ strings = strings, controls = controls, positions = positions,
            pickups = { { name = "neck", pickup = first, from_bridge = 150 }, bridge } }
        expect(case, t[1], phase, says)
        assert(t[2].says == "hums" and t[2].phase == nil)
    end
end

local function pair()
    return ll.pickup{ parts = { rod("S", -9), rod("N", 9) },
        coils = { coil("cw", "finish", -9, "screws"), coil("ccw", "finish", 9, "studs") } }
end
local list = {}
for i, case in ipairs(splits) do
    list[i] = { name = table.concat(case[1], " "), from = case[1], wiring = case[2], reversed = case[3] }
end
local t = ll.instrument{ strings = strings, controls = controls, positions = list,
    pickups = { { name = "neck", pickup = pair(), from_bridge = 150 }, { name = "bridge", pickup = pair(), from_bridge = 60 } } }
for i, case in ipairs(splits) do
    expect(case, t[i], case[4], case[5])
end
