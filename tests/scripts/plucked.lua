-- Plucked strings: levels and partials, the magnets' pull, loose turns, crosstalk and sound files, over a magnet that
-- needs no mesh, so that it is quick.

local function near(actual, expected, tolerance, what)
    assert(math.abs(actual - expected) <= tolerance, string.format("%s: %g, expected %g", what, actual, expected))
end

local function pickup(fields)
    fields = fields or {}
    local y = fields.y or 0
    local rod = ll.rod{ name = "pole", diameter = 5, length = 17, at = { 0, y, -8.5 },
        material = ll.magnet{ remanence = fields.remanence or 1200, recoil = 1 }, north = "+z" }
    local coil = ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 11, at = { 0, y, -8 }, wire = ll.awg(42),
        hot = fields.hot }
    return ll.pickup{ name = fields.name, parts = { rod }, coils = { coil } }
end

local function string_at(fields)
    local all = { note = "E4", gauge = 0.254, x = 0, gap = 2.5 }
    for key, value in pairs(fields or {}) do
        all[key] = value
    end
    return ll.string(all)
end

local p = pickup()

-- Comb: over a quarter of the length the fourth partial has no motion (textbook), and the eighth. Plucked softly, lest the
-- bend of the linkage makes up for it.
local over_quarter = p:output{ strings = string_at{ from_bridge = 162 },
    pluck = { position = 110, displacement = 0.1 } }[1]
assert(over_quarter.partial_4_mv < 0.02 * over_quarter.partial_3_mv, "fourth partial over a quarter")
assert(over_quarter.partial_8_mv < 0.01 * over_quarter.partial_7_mv, "eighth partial over a quarter")
near(p:output{ strings = string_at{ gap = 10 } }[1].f_hz, 329.63, 0.1, "pitch of E4, far off")

-- Plucked at a third, the third partial is missing.
local at_third = p:output{ strings = string_at(), pluck = { position = 216, displacement = 0.1 } }[1]
assert(at_third.partial_3_mv < 0.01 * at_third.partial_2_mv, "third partial plucked at a third")

-- Stopped at the twelfth fret it sounds an octave higher.
near(p:output{ strings = string_at{ fret = 12, gap = 10 } }[1].f_hz, 659.26, 0.3, "an octave up")

-- Up and down is heard more than to and fro over the middle of a pole (Guadagnin et al., J. Audio Eng. Soc. 65 (2017) 711).
local up = p:output{ strings = string_at(), pluck = { angle = 90 } }[1]
local across = p:output{ strings = string_at(), pluck = { angle = 0 } }[1]
assert(up.rms_mv > 5 * across.rms_mv, "vertical motion is heard more")
-- Each sounds at the pitch that the magnet leaves its own direction.
local pulled = p:pull{ strings = string_at() }[1]
near(1200 * math.log(up.f_hz / across.f_hz, 2), pulled.vertical_cents - pulled.horizontal_cents, 0.01, "pitch by direction")

-- Plucked in the middle a string has no even partials: what is heard of the second comes from the bend of the linkage, less as
-- the gap opens. Across the pole the bend is all there is.
local bend = {}
for i, gap in ipairs{ 1.5, 3, 6 } do
    local row = p:output{ strings = string_at{ gap = gap, from_bridge = 100 },
        pluck = { position = 324, angle = 90, displacement = 1.5 } }[1]
    bend[i] = row.partial_2_mv / row.partial_1_mv
end
assert(bend[1] > 0.02 and bend[1] > 1.5 * bend[2] and bend[2] > 1.5 * bend[3], "distortion falls with the gap")
assert(across.partial_2_mv > across.partial_1_mv, "to and fro over a pole sounds an octave up")

-- Where the coil stands counts, be it said by its place or by from_bridge.
local here = p:output{ strings = string_at() }[1]
local there = pickup{ y = 45 }:output{ strings = string_at{ from_bridge = 15 } }[1]
for n = 1, 8 do
    local column = "partial_" .. n .. "_mv"
    near(there[column], here[column], 0.01 * here.partial_2_mv, column .. " by place and by from_bridge")
end

-- Twice the pluck is about twice as loud; the other lead hot is the same loudness.
local twice = p:output{ strings = string_at{ gap = 4 }, pluck = { displacement = 1 } }[1]
local once = p:output{ strings = string_at{ gap = 4 }, pluck = { displacement = 0.5 } }[1]
near(twice.rms_mv / once.rms_mv, 2, 0.1, "twice the pluck")
local turned = pickup{ hot = "start" }:output{ strings = string_at{ gap = 4 }, pluck = { displacement = 1 } }[1]
near(turned.rms_mv / twice.rms_mv, 1, 0.001, "the other lead hot")

-- A load of volume pot and cable takes treble away and lets the bass through.
local n = ll.network{ from = p, volume = 250e3, tone_pot = 250e3, tone_cap = 22 * ll.nf, tone_turn = 0, input = 1e6 }
local bare, loaded = p:output{ strings = string_at() }[1], p:output{ strings = string_at(), load = n }[1]
local h = n:response{ f = { bare.f_hz, 7 * bare.f_hz } }
near(loaded.partial_1_mv / bare.partial_1_mv, 10 ^ (h[1].gain_db / 20), 0.01, "gain at the first partial")
near(loaded.partial_7_mv / bare.partial_7_mv, 10 ^ (h[2].gain_db / 20), 0.01, "gain at the seventh")

-- A magnetic wrap is heard beside the core, and pulled at.
local bare_string = { note = "A2", gauge = 0.91, wound = true, wrap = "none" }
local wrapped = { note = "A2", gauge = 0.91, wound = true, wrap = "nickel" }
local wound = p:sensitivity{ strings = { string_at(bare_string), string_at(wrapped) } }
local more = wound[2].vertical_mv / wound[1].vertical_mv
assert(more > 1.1 and more < 3, more)

-- Without a word about it a wound string has the usual wrap, and every table that rests on it says so; with a word none does.
local unsaid = string_at{ note = "A2", gauge = 0.91, wound = true }
local said = string_at{ note = "A2", gauge = 0.91, wound = true, wrap = "nickel-plated steel" }
local function assumes(t)
    return string.find(t:as("text"), "assumed: wound strings without 'wrap'", 1, true) ~= nil
end
local both = p:sensitivity{ strings = { unsaid, said } }
near(both[1].vertical_mv, both[2].vertical_mv, 1e-9, "the usual wrap")
assert(assumes(both) and not assumes(wound) and not assumes(p:sensitivity{ strings = said }))
for _, reading in ipairs{ "output", "pull", "crosstalk", "transfer" } do
    local function read(s)
        return p[reading](p, { strings = s, f = reading == "transfer" and 1000 or nil })
    end
    assert(assumes(read(unsaid)) and not assumes(read(said)), reading)
end
assert(assumes(ll.blend{ pickups = { p, p }, strings = unsaid:with{ gauge = 1 } }))
assert(assumes(ll.diagnose{ build = p, strings = unsaid, readings = { output = 0 } }.faults))
assert(not assumes(ll.diagnose{ build = p, strings = said, readings = { output = 0 } }.faults))

-- Pull: down, softer up and down, stiffer across; a warble close to a strong magnet and none further off.
local pull = p:pull{ strings = { string_at{ gap = 1 }, string_at{ gap = 5 } } }
assert(pull[1].force_mn > 5 * pull[2].force_mn and pull[2].force_mn > 0)
assert(pull[1].vertical_cents < 0 and pull[1].horizontal_cents > 0)
near(pull[1].side_mn, 0, 0.001 * pull[1].force_mn, "no pull aside over the middle")
near(pull[1].tension_n, 72.6, 0.1, "tension of E4, 0.254 mm")
assert(pull[1].heard_as == "warble" and pull[2].heard_as == "nothing", pull[1].heard_as .. pull[2].heard_as)
assert(string.find(pull:as("text"), "WARNING: E4 warbles", 1, true))
near(pull[1].beat_hz, pull[2].beat_hz * (pull[1].horizontal_cents - pull[1].vertical_cents)
    / (pull[2].horizontal_cents - pull[2].vertical_cents), 0.01 * pull[1].beat_hz, "beat goes with cents")

-- Loose turns: those of a round coil move sideways without a voltage, and half as many give about half.
local loose = p:microphony{ loose = 10, strings = string_at() }[1]
near(loose.across_mv, 0, 0.001 * math.abs(loose.up_mv), "sideways")
near(loose.turns, 800, 1e-9, "turns that move")
near(p:microphony{ loose = 5 }[1].up_mv / loose.up_mv, 0.5, 0.05, "half of them")
near(loose.against_string_db, 20 * math.log(math.abs(loose.up_mv)
    / math.abs(p:sensitivity{ strings = string_at() }[1].vertical_mv), 10), 0.01, "against the string")

-- Crosstalk: two rods with a coil each, and a string over the first.
local rod = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = ll.magnet{ remanence = 1200, recoil = 1 },
    north = "+z" }
local coil = ll.coil{ name = "first", turns = 2000, opening = { 6, 6 }, build = 1, height = 11, at = { 0, 0, -8 } }
local pair = ll.pickup{ parts = ll.row{ count = 2, spacing = 10, part = rod:moved(5, 0, 0) },
    coils = { coil, coil:with{ name = "second", at = { 10, 0, -8 } } } }
local talk = pair:crosstalk{ strings = string_at() }
assert(talk[1].coil == "first" and talk[1].below_db == 0)
assert(talk[2].coil == "second" and talk[2].below_db < -15 and talk[2].below_db > -60)
near(talk[1].vertical_mv + talk[2].vertical_mv, pair:sensitivity{ strings = string_at() }[1].vertical_mv, 0.01, "both")

-- Sound: the file's own table, and before and after at one scale.
local two = { string_at(), string_at{ note = "B3", gauge = 0.33 } }
local heard = p:listen{ strings = two, strum = 0.1, seconds = 0.5, file = "one.wav", format = "24 bit" }
assert(#heard == 1 and heard[1].lasts_s == 0.5 and heard[1].peak_mv > heard[1].rms_mv)
-- What begins after the end of a take is not in it.
local late = p:listen{ strings = two, strum = 0.6, seconds = 0.5, file = "late.wav" }
near(late[1].rms_mv, p:listen{ strings = { two[1] }, seconds = 0.5, file = "first.wav" }[1].rms_mv, 1e-9, "a late string")
-- Both losses count: a string's own, and that of bending, which is 0.0002 for a plain one when left out.
local lossy = p:output{ strings = string_at{ loss = 0.01 } }[1]
near(p:output{ strings = string_at{ loss = 0.01, loss_bending = 0.0002 } }[1].rms_mv, lossy.rms_mv, 1e-9, "losses")
assert(lossy.rms_mv < 0.5 * p:output{ strings = string_at() }[1].rms_mv)
local weak = pickup{ remanence = 600, name = "weak" }
local both = ll.sound{ file = "both.wav", pause = 0.5, level = -12, takes = {
    { pickup = weak, strings = two, seconds = 0.5 }, { pickup = p, strings = two, seconds = 0.5, load = n } } }
assert(#both == 2 and both[1].pickup == "weak" and both[2].starts_s == 1)
assert(both[1].peak_mv < 0.7 * both[2].peak_mv)
local full_scale = tonumber(string.match(both:as("text"), "full scale is ([%d.e+]+) mV"))
near(full_scale, math.max(both[1].peak_mv, both[2].peak_mv) * 10 ^ (12 / 20), 0.01 * full_scale, "scale")

-- Slips.
local function refused(what, ...)
    local fine, message = pcall(...)
    assert(not fine and string.find(message, what, 1, true), message)
end
refused("no 'note'", function() p:pull{ strings = ll.string{ gauge = 0.3, x = 0, gap = 2 } } end)
refused("'wrap' belongs to wound strings", string_at, { wrap = "nickel" })
refused("is not on string", function() p:output{ strings = string_at{ fret = 24 }, pluck = { position = 400 } } end)
refused("would touch a part", function()
    p:output{ strings = string_at{ gap = 0.3 }, pluck = { displacement = 2, angle = 90 } }
end)
refused("before it reaches", function() p:output{ strings = string_at{ from_bridge = 400, fret = 12 } } end)
refused("ending in .wav", function() p:listen{ strings = two, file = "x.mp3" } end)
refused("not a plain file name", function() p:listen{ strings = two, file = "../x.wav" } end)
refused("a list of 1 to 20 takes", function() ll.sound{ takes = {}, file = "x.wav" } end)
refused("take 1: 'pickup'", function() ll.sound{ takes = { { strings = two } }, file = "x.wav" } end)
print("plucked strings: fine")
