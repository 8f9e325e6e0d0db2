-- Before and after, to listen to: what does a fresh magnet do to the sound?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Six screws between two bar magnets that have lost more than half of their charge, as they came in, and with the bars
-- charged anew. The same strum over both, through pots and cable into an amplifier, one after the other in one file at
-- one scale. BEGIN LISTENING QUIETLY.
--
--   lodeloom run --out . before-after              writes before-after.wav
--   lodeloom run --out . before-after charge=0.6   for bars that kept 60 %

local charge = given.charge or 0.4
local gap = given.gap or 2.5 -- mm, from the screws' heads to the underside of the strings

local coil = ll.coil{ turns = 9000, wire = ll.awg(42), opening = { 58, 6 }, build = 6, height = 10, at = { 0, 0, -5 } }
local screws = ll.row{ count = 6, spacing = 10.2, name = "screw",
    part = ll.screw{ thread = 3.2, length = 18, head = { diameter = 5, height = 2 }, top = 0.5, at = { 0, 0 },
        material = "steel 1010" } }
local bar = ll.block{ name = "bridge bar", size = { 62, 12, 3.2 }, at = { 0, -8, -12.5 }, material = "ferrite C5",
    north = "+y" }

local function pickup(name, share)
    local bridge = bar:with{ charge = share }
    local neck = bar:with{ name = "neck bar", at = { 0, 8, -12.5 }, north = "-y", charge = share }
    return ll.pickup{ name = name, parts = { screws, bridge, neck }, coils = { coil }, accuracy = 2 }
end

local before, after = pickup("before", charge), pickup("after", 1)

-- Note, gauge, wound or not, place across the strings.
local set = {
    { "E2", 1.17, true, -25.5 }, { "A2", 0.91, true, -15.3 }, { "D3", 0.66, true, -5.1 },
    { "G3", 0.43, false, 5.1 }, { "B3", 0.33, false, 15.3 }, { "E4", 0.25, false, 25.5 },
}
local strings = {}
for i, s in ipairs(set) do
    strings[i] = ll.string{ note = s[1], gauge = s[2], wound = s[3],
        wrap = s[3] and "nickel-plated steel" or nil, x = s[4], gap = gap }
end

local function load_of(p)
    return ll.network{ from = p, volume = 250e3, tone_pot = 250e3, tone_cap = 22 * ll.nf, cable = 500 * ll.pf,
        input = 1e6 }
end

local takes = {}
for i, p in ipairs{ before, after } do
    takes[i] = { pickup = p, strings = strings, load = load_of(p), strum = 0.04, seconds = 4,
        pluck = { position = 130, displacement = 1.5, angle = 30 } }
end
local sound = ll.sound{ file = "before-after.wav", pause = 1, takes = takes }
sound:titled("Bars at " .. 100 * charge .. " % of their charge, and charged anew"):print()

print(string.format("The fresh bars make it %.1f dB louder.", 20 * math.log(sound[2].rms_mv / sound[1].rms_mv, 10)))
