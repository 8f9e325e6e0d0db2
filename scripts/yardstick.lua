-- The yardstick: how far is the model off for a pickup that anybody can wind and measure?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
-- docs/yardstick.md tells how to build and measure it.
--
--   lodeloom run yardstick --out .                  what the model says of it as designed, and yardstick.csv, a form with blanks
--   lodeloom run yardstick --in . case=yardstick.csv   measured beside computed, once the form is filled in

-- What is measured: the value as designed, how well a good bench knows it (one standard deviation), and with what.
local asked = {
    { "rod_diameter_mm", 4.8, 0.01, "caliper, mean of six" },
    { "rod_length_mm", 17, 0.02, "caliper, mean of six" },
    { "spacing_mm", 10.4, 0.05, "caliper, first rod to last, by 5" },
    { "coil_length_mm", 65, 0.2, "caliper, outside over the wire" },
    { "coil_width_mm", 13, 0.3, "caliper, outside over the wire, mean of three places" },
    { "coil_height_mm", 11, 0.1, "caliper, between the flats" },
    { "coil_top_mm", 3, 0.1, "caliper, from the rods' tops down to the wire" },
    { "turns", 6000, 5, "counter" },
    { "copper_mm", 0.0635, 0.0008, "micrometer with the enamel burnt off, or the reel" },
    { "temperature_c", 20, 1, "thermometer beside the coil" },
    { "dcr_ohm", nil, 5, "ohm meter" },
    { "l_1khz_mh", nil, 10, "LCR bridge at 1 kHz, series" },
    { "resonance_hz", nil, 30, "sound card, or a generator through 1 megohm" },
    { "cable_pf", 0, 2, "what hung on the coil at the resonance, bridge" },
    { "gauss_1", nil, 15, "gauss meter, 1 mm over rod 1" }, { "gauss_2", nil, 15, "the same, rod 2" },
    { "gauss_3", nil, 15, "the same, rod 3" }, { "gauss_4", nil, 15, "the same, rod 4" },
    { "gauss_5", nil, 15, "the same, rod 5" }, { "gauss_6", nil, 15, "the same, rod 6" },
}
local OPENING = 5.2 -- the wire is wound on the rods and one layer of tape

-- ---- the form ----

local value, sd = {}, {}
for _, row in ipairs(asked) do
    value[row[1]], sd[row[1]] = row[2], row[3]
end
if given.case then
    for _, row in ipairs(ll.read_table{ file = given.case }) do
        if sd[row.what] == nil then
            error(given.case .. ": there is no '" .. tostring(row.what) .. "' in the form; keep its first column as it was written", 0)
        end
        value[row.what], sd[row.what] = row.value or value[row.what], row.sd or sd[row.what]
    end
end

-- ---- the model ----

local function model(changed)
    local v = setmetatable(changed or {}, { __index = value })
    local rods = ll.row{ count = 6, spacing = v.spacing_mm, part = ll.rod{ diameter = v.rod_diameter_mm, length = v.rod_length_mm,
        at = { 0, 0, -v.rod_length_mm / 2 }, material = "AlNiCo 5", north = "+z" } }
    local build = (v.coil_width_mm - OPENING) / 2
    local coil = ll.coil{ turns = v.turns, wire = ll.wire{ bare = v.copper_mm }, build = build, height = v.coil_height_mm,
        opening = { v.coil_length_mm - 2 * build, OPENING }, at = { 0, 0, -v.coil_top_mm - v.coil_height_mm / 2 } }
    local p = ll.pickup{ name = "yardstick", parts = { rods }, coils = { coil } }
    local says = { dcr_ohm = p:winding{ temperature = v.temperature_c }[1].dcr_ohm }
    local peak = ll.network{ from = p, input = 1e7, cable = v.cable_pf > 0 and v.cable_pf * ll.pf or nil }:peak()[1]
    says.l_1khz_mh, says.resonance_hz = 1000 * p:impedance{ f = 1000 }[1].l_h, peak.f_hz
    for i, row in ipairs(p:poles{ standoff = 1 }) do
        says["gauss_" .. i] = row.bz_gauss
    end
    return says, p
end

-- How far the model's answer moves with what is not known exactly of the build.
local function spread(says)
    local squares = {}
    for name in pairs(says) do
        squares[name] = 0
    end
    for _, row in ipairs(asked) do
        local name = row[1]
        if row[2] and sd[name] > 0 and name ~= "cable_pf" then
            local other = model{ [name] = value[name] + sd[name] }
            for of, x in pairs(other) do
                squares[of] = squares[of] + (x - says[of]) ^ 2
            end
        end
    end
    return squares
end

-- ---- measured beside computed ----

local says, p = model()
local squares = given.case and spread(says) or {}
local t = ll.table{ title = given.case and "measured beside computed" or "the yardstick as designed",
    columns = { "what", "measured", "sd", "model", "off_percent", "off_by" }, from = p:poles{ standoff = 1 },
    notes = { "off: measured against model; off_by: in standard deviations of reading and build together, beyond 2 is rare. "
        .. "Of the model's own assumptions none are in it: that is what the yardstick is for." } }
for _, row in ipairs(asked) do
    local name = row[1]
    local wanted, measured = says[name], not row[2] and value[name] or nil
    if wanted then
        t:add{ what = name, measured = measured, sd = measured and sd[name], model = wanted,
            off_percent = measured and 100 * (measured / wanted - 1),
            off_by = measured and (measured - wanted) / math.sqrt(squares[name] + sd[name] ^ 2) }
    end
end
t:print()
if given.case then
    t:save("yardstick-result.csv")
else
    local form = ll.table{ title = "yardstick", columns = { "what", "value", "sd", "with" } }
    for _, row in ipairs(asked) do
        form:add{ what = row[1], value = row[2], sd = row[3], with = row[4] }
    end
    form:save("yardstick.csv")
end
