-- blend.lua - pickups used together: phase, hum, level and comb of each pair, and what would mend it.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local abs, log, max = math.abs, math.log, math.max
local format = string.format

local new_table = core.declares("ll", "blend", {
    { "pair", "text", "none", "which pickups are heard together" },
    { "string", "text", "none", "name of the string" },
    { "phase", "text", "mesh", "in phase, or out of phase" },
    { "level_db", "dB", "mesh", "of both together against the louder alone" },
    { "notch_hz", "Hz", "model", "the partial that cancels, by the places along the string" },
    { "hum_db", "dB", "mesh", "hum of both together against one alone" },
    { "uneven_db", "dB", "mesh", "how unlike the two levels are" },
    { "mutual_h", "H", "mesh", "mutual inductance of the two" },
    { "coupling", "", "mesh", "that over the root of the product of both inductances" },
})

-- Coils that cancel less than this do not count as hum-cancelling.
local CANCELS_DB = -10
-- What the trade calls each pickup.
local function name_of(pickup, i)
    return pickup.name or "pickup " .. core.integer(i)
end

local function db(ratio)
    return 20 * log(max(ratio, 1e-6), 10)
end

-- What one pickup gives, its leads swapped or not: volts for each string, hum in each direction.
local function voice_of(pickup, strings, sign)
    local voice = { names = {}, signal = {}, even = {}, uneven = {} }
    for i, row in ipairs(pickup:sensitivity{ strings = strings }) do
        voice.signal[i], voice.names[i] = sign * row.vertical_mv, row.string
    end
    for i, row in ipairs(pickup:hum()) do
        voice.even[i], voice.uneven[i] = sign * row.even_mv, sign * row.uneven_mv
    end
    return voice
end

-- By how much outside fields cancel, in the direction that both together take up most in.
local function cancelled_db(a, b)
    return db(core.together_left(a, b))
end

-- Swapped leads turn signal and hum of one pickup over, a turned magnet its signal alone.
local function cure_of(phase, cancels, cancels_swapped, second)
    if phase == "mixed" then
        return "the poles of one of them do not all show the same face: see screwdriver()"
    elseif phase == "in phase" then
        return cancels and "nothing to mend"
            or "nothing single: with the magnet of '" .. second .. "' turned and its leads swapped they would "
                .. (cancels_swapped and "cancel hum as well" or "still not cancel hum")
    elseif cancels then
        return "turn the magnet of '" .. second .. "': in phase, and still cancelling hum"
    end
    return "swap the leads of '" .. second .. "': in phase" .. (cancels_swapped and ", and cancelling hum" or "")
end

-- Two signals at the output against the louder one alone. In parallel each is loaded by the other's resistance.
local function level_db(a, b, share)
    return db(core.together_level(a, b, share))
end

local function shares(given, p, q)
    if given.wiring ~= "parallel" then
        return { 1, 1 }
    end
    return core.parallel_shares(p:winding().dcr_ohm or 1, q:winding().dcr_ohm or 1)
end

-- The first frequency at which a travelling wave is heard by the two in opposite ways.
local function notch_hz(string, distance, phase)
    if not distance or distance == 0 or not string.note or phase == "mixed" then
        return nil
    end
    return core.notch(string, distance, phase == "in phase")
end

local function own_inductance(pickup)
    return pickup:winding().l_h
end

local function add_pair(result, given, i, j, voices)
    local p, q, a, b = given.pickups[i], given.pickups[j], voices[i], voices[j]
    local pair = name_of(p, i) .. " + " .. name_of(q, j)
    local phase, hum = core.together_phase(a.signal, b.signal), cancelled_db(a.even, b.even)
    local swapped = {}
    for k, value in ipairs(b.even) do
        swapped[k] = -value
    end
    local places = given.from_bridge or {}
    local distance = places[i] and places[j] and abs(places[i] - places[j]) or nil
    -- Without their places the pickups would stand in one another.
    local mutual = distance and core.mutual(p, q, places[j] - places[i]) * (given.signs[i] * given.signs[j])
    for k, string in ipairs(given.strings) do
        result:add{ pair = pair, string = a.names[k], phase = a.signal[k] * b.signal[k] > 0 and "in phase" or "out of phase",
            level_db = level_db(a.signal[k], b.signal[k], shares(given, p, q)), notch_hz = notch_hz(string, distance, phase),
            hum_db = hum, uneven_db = cancelled_db(a.uneven, b.uneven), mutual_h = mutual or nil,
            coupling = mutual and mutual / math.sqrt(own_inductance(p) * own_inductance(q)) or nil }
    end
    local cancels = hum < CANCELS_DB
    result:note(format("%s: %s, %s; %s", pair, phase,
        cancels and format("hum-cancelling by %s%.0f dB", hum < -60 and "more than " or "", math.min(60, -hum)) or format("not hum-cancelling (%.0f dB)", abs(hum)),
        cure_of(phase, cancels, cancelled_db(a.even, swapped) < CANCELS_DB, name_of(q, j))))
end

local function check(given)
    local count = given.pickups and #given.pickups or 0
    if count < 2 then
        core.fail("blend: 'pickups' needs at least two")
    end
    for _, list in ipairs{ "reversed", "from_bridge" } do
        if given[list] and #given[list] ~= count then
            core.fail(format("blend: '%s' needs one item for each pickup, %d, not %d", list, count, #given[list]))
        end
    end
end

local function plain_list(value)
    return core.type(value) == "table" and value or { value }
end

-- Rests on all that it reads of the pickups.
ll.blend = core.resting(function(fields)
    local given = core.read("blend", fields, "blend")
    for _, name in ipairs{ "pickups", "strings", "reversed", "from_bridge" } do
        given[name] = given[name] ~= nil and plain_list(given[name]) or nil
    end
    check(given)
    local result = new_table{ title = "blend" }
    local voices = {}
    given.signs = {}
    for i, pickup in ipairs(given.pickups) do
        given.signs[i] = given.reversed and given.reversed[i] and -1 or 1
        voices[i] = voice_of(pickup, given.strings, given.signs[i])
    end
    for i = 1, #given.pickups do
        for j = i + 1, #given.pickups do
            add_pair(result, given, i, j, voices)
        end
    end
    result:note("level_db: both at once where they hear the string alike, over the louder one alone; hum_db: an even field, in the "
        .. "direction that they take up most, against both adding; mutual_h: between the windings in air")
    return core.note_odd(result, given)
end)
