-- bench_readings.lua - the readings of a script as the tests' values: { [test] = { [item] = value } }.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local bench = core.bench
local type, log, concat = core.type, math.log, table.concat

local USUAL_PROBE, USUAL_NEEDLE = 1, 3 -- mm from a pole's top
local USUAL_FREQUENCY, USUAL_LOAD = 1000, { cable = 500e-12, input = 1e6 }
local signs = { N = 1, S = -1, weak = 0, ["+"] = 1, ["-"] = -1, nothing = 0 }

-- What each kind of reading looks like.
local examples = {
    coil_dcr = "a list with one reading for each coil, as in { 3900, \"open\" }",
    inductance = "{ f = 1000, l = 2.9, r = 7200 } in Hz, H and ohm, or a list of these",
    resonance = "{ f = 4200, cable = 500 * ll.pf, input = 1e6 }, the peak in Hz and its load",
    gauss = "a list with one reading for each pole, from the bass side, as in { 980, 920, ..., probe = 1 }",
    compass = "a list with one letter for each pole, from the bass side, as in { \"N\", \"S\", \"weak\", ..., probe = 3 }",
    meters = "limits of error in percent by the names of readings, as in { dcr = 1, gauss = 5 }",
    minutes = "minutes by the names of readings, as in { faces = 5, gauss = false }, false for one that cannot be taken",
    faces = "a list such as { { part = \"bridge bar\", side = \"-y\", shows = \"N\" } }",
    levels = "a list with the dB of each string, from the bass side, as in { 0, -1.5, \"hardly\", ... }",
    jack = "{ up = 6900, tone_down = 0.4, cable = 6900 }, each in ohm or \"open\"",
    jack_peak = "{ f = 3800, rise = 4, tone_down = 620 } in Hz, dB and Hz",
    screwdriver = "one sign for all poles, a list with one for each, or signs by the names of poles or coils, as in "
        .. "{ [\"screw 1\"] = \"+\", [\"coil 2\"] = \"-\" }",
}

local function quoted_names(set)
    local list = {}
    for key in next, set do
        list[#list + 1] = key
    end
    table.sort(list)
    return list
end

local function fail(what, wanted)
    core.fail("diagnose: '" .. what .. "' must be " .. wanted)
end

-- Raises unless a reading that is there is a table.
local function braced(value, what)
    if value ~= nil and type(value) ~= "table" then
        fail(what, examples[what])
    end
    return value
end

-- `column` ends in the unit, as a column's name does.
local function number(value, what, column)
    if type(value) ~= "number" or value ~= value or math.abs(value) == math.huge then
        fail(what, "a number" .. (type(value) == "string" and core.text_cure(column or "", value) or ""))
    end
    return value
end

local function positive(value, what, column)
    if number(value, what, column) <= 0 then
        fail(what, "greater than zero")
    end
    return value
end

-- A number that can never be of its kind is asked back.
local function usual(kind, value, what, column)
    local is, never = core.judge(kind, positive(value, what, column))
    if never then
        core.fail(string.format("diagnose: '%s' cannot be %.6g; %s", what, value, is))
    end
    return value
end

-- Nothing that is written is dropped.
local function only(list, names, what)
    for key in next, list do
        if type(key) ~= "number" and not names[key] then
            local known = quoted_names(names)
            local near = core.nearest(core.tostring(key), known)
            core.fail("diagnose: '" .. what .. "' has no '" .. core.tostring(key) .. "'"
                .. (near and "; did you mean '" .. near .. "'?" or "; it has " .. concat(known, ", ")))
        end
    end
    return list
end

local function quoted_keys(set)
    local list = {}
    for key in next, set do
        list[#list + 1] = '"' .. key .. '"'
    end
    table.sort(list)
    return concat(list, ", ")
end

-- Said in place of dB: about how much, and how far words scatter. Common practice, no source.
local in_words = {
    ["nothing heard"] = { bench.SILENT_DB, 5 }, nothing = { bench.SILENT_DB, 5 }, hardly = { -22, 4 }, audible = { -12, 6 },
    ["much softer"] = { -16, 4 }, softer = { -8, 4 }, ["as loud as before"] = { 0, 3 }, louder = { 8, 4 },
    ["much louder"] = { 16, 5 },
}
-- Under the finger a sound pickup is quiet: what is audible there at all is much.
local in_words_of_tapping = { ["nothing heard"] = { 0, 4 }, nothing = { 0, 4 }, hardly = { 2, 4 }, audible = { 12, 6 },
    ["much softer"] = { -5, 4 }, softer = { -3, 4 }, ["as loud as before"] = { 0, 4 }, louder = { 10, 6 }, ["much louder"] = { 16, 6 } }

-- dB in figures or in words; words scatter as a second value.
local function decibels(value, what, words)
    if type(value) == "number" then
        return number(value, what)
    end
    local said = words[value] or fail(what, "dB in figures, or one of " .. quoted_keys(words))
    return said[1], said[2]
end

local function own_error(name)
    for _, test in ipairs(bench.tests) do
        if test.name == name then
            return test.own
        end
    end
end

-- The same taken several times, as a list: the mean, and a scatter that has the meter's own error in it, which stays however often it is
-- read (JCGM 100, 5.1.2).
local function several(list, what, read)
    local sum, squares, n = 0, 0, #list
    if n < 2 then
        fail(what, "one value, or a list of what was read two times or more")
    end
    for _, value in ipairs(list) do
        local one = read(value, what)
        sum, squares = sum + one, squares + one ^ 2
    end
    local variance = math.max(0, squares - sum ^ 2 / n) / (n - 1)
    return sum / n, math.sqrt(own_error(what) ^ 2 + variance / n)
end

-- A sign in words.
local function sign(value, what)
    return signs[value] or fail(what, '"N", "S" or "weak" for a compass, "+", "-" or "nothing" for a needle')
end

-- One value for each item of a test, and how far those in words scatter; nothing where nothing was read.
local function each(list, count, what, read)
    if type(list) ~= "table" or #list ~= count then
        fail(what, "a list of " .. core.integer(count) .. (count == 1 and " reading" or " readings")
            .. ", from the bass side; false where none was taken")
    end
    local values, scatter = {}, {}
    for k, value in ipairs(list) do
        if value ~= false then
            if type(value) == "table" then
                values[k], scatter[k] = several(value, what, read)
            else
                values[k], scatter[k] = read(value, what)
            end
        end
    end
    return values, scatter
end

local of_a_bridge = { f = true, l = true, r = true, q = true }

-- Bridge readings as a list, also when it is only one.
local function bridge(readings)
    local given = braced(readings.inductance, "inductance") or {}
    local list = given.f and { given } or given
    for _, row in ipairs(list) do
        if type(row) ~= "table" or row.f == nil then
            fail("inductance", examples.inductance)
        end
        only(row, of_a_bridge, "inductance")
    end
    return list
end

local function no_such(what, name, names)
    local near = type(name) == "string" and core.nearest(name, names)
    core.fail("diagnose: the pickup has no " .. what .. " '" .. core.tostring(name) .. "'"
        .. (near and "; did you mean '" .. near .. "'?" or "; it has " .. concat(names, ", ")))
end

local function part_named(parts, name)
    local names = {}
    for i, part in ipairs(parts) do
        if part.name == name then
            return i
        end
        names[#names + 1] = part.name
    end
    no_such("part", name, names)
end

local function given_faces(parts, faces)
    local list = {}
    for k, face in ipairs(braced(faces, "faces")) do
        if type(face) ~= "table" or not bench.sides[face.side] then
            fail("faces", examples.faces)
        end
        list[k] = { part = part_named(parts, face.part), side = face.side,
            distance = positive(face.probe or USUAL_PROBE, "faces: probe") }
    end
    return list
end

-- Where a compass can be held to a magnet that is no pole: under it, and on its outer side.
local function usual_faces(parts, poles)
    local list, is_pole = {}, {}
    for _, i in ipairs(poles) do
        is_pole[i] = true
    end
    for i, part in ipairs(parts) do
        if not is_pole[i] and bench.kind(part) == "magnet" then
            local outer = bench.centre(part)[2] < 0 and "-y" or "+y"
            list[#list + 1] = { part = i, side = "-z", distance = USUAL_PROBE }
            list[#list + 1] = { part = i, side = outer, distance = USUAL_PROBE }
        end
    end
    return list
end

local load_fields = {}
for _, row in ipairs(core.fields.network) do
    load_fields[#load_fields + 1] = row.field
end

-- What hung on the pickup as its peak was found.
local function load_of(resonance)
    local load, known = {}, {}
    for _, name in ipairs(load_fields) do
        known[name] = true
    end
    for key, value in next, resonance do
        if key ~= "f" and not known[key] or key == "from" then
            fail("resonance", examples.resonance .. "; '" .. core.tostring(key) .. "' is none of its fields")
        end
        load[key] = value
    end
    load.f = nil
    return load
end

local function probe_of(list, what, usual)
    return positive((braced(list, what) or {}).probe or usual, what .. ": probe")
end

local function level_options(levels)
    local given = braced(levels, "levels") or {}
    if given.equal ~= nil and given.equal ~= "pluck" and given.equal ~= "velocity" then
        fail("levels: equal", '"pluck" or "velocity": what was alike in all strings')
    end
    return given.pluck and core.read("pluck", given.pluck, "diagnose: levels: pluck"), given.equal
end

local function asked_hz(value, what)
    local is = core.judge("hz", positive(value, what, "f_hz"))
    return is and core.fail(string.format("diagnose: '%s' is %.6g Hz; %s", what, value, is)) or value
end

-- The circuit is the build's own, or a whole instrument's ohms would be taken for one pickup's.
local function circuit_of(given)
    local circuit = given.circuit
    if circuit and #bench.flat(circuit.from) ~= 1 then
        core.fail("diagnose: 'circuit' must be of the build alone: ll.network{ from = build, volume = 250 * ll.kohm, ... }")
    end
    return circuit
end

-- What the job must know before it opens: distances, frequencies, load, plucks.
function bench.settings(pickup, readings, given)
    local parts, frequencies = bench.parts_of(pickup), {}
    for k, row in ipairs(bridge(readings)) do
        frequencies[k] = asked_hz(row.f, "inductance: f")
    end
    local pluck, equal = level_options(readings.levels)
    return {
        strings = given.strings, circuit = circuit_of(given), meters = bench.meters(readings.meters), temperature = readings.temperature or 20, pluck = pluck, equal = equal,
        load = load_of(braced(readings.resonance, "resonance") or USUAL_LOAD),
        frequencies = #frequencies > 0 and frequencies or { USUAL_FREQUENCY },
        distances = { probe_of(readings.gauss, "gauss", USUAL_PROBE), probe_of(readings.compass, "compass", USUAL_NEEDLE) },
        faces = readings.faces and given_faces(parts, readings.faces) or usual_faces(parts, core.poles(pickup)),
    }
end

-- Minutes that each reading takes here, by its name; false for one that cannot be taken.
function bench.minutes(given)
    local list = {}
    for name, usual in next, bench.usual_minutes do
        list[name] = usual
    end
    for name, value in next, braced(given, "minutes") or {} do
        if list[name] == nil then
            only(given, bench.usual_minutes, "minutes")
        end
        list[name] = value ~= false and positive(value, "minutes: " .. name)
    end
    return list
end

-- Without what was not read: false, what one could not tell, and what a check could not find out, in lists too.
local CANNOT_TELL = "cannot tell"
local function was_read(value)
    return value ~= CANNOT_TELL and not core.is_unknown(value)
end

function bench.read_only(readings)
    for key, value in next, readings do
        if type(value) == "table" then
            local copy = {}
            for k, item in next, value do
                copy[k] = was_read(item) and item
            end
            readings[key] = copy
        else
            readings[key] = was_read(value) and value or nil
        end
    end
    return readings
end

-- The meters' limits in percent, by the names of readings, as standard deviations: half of the limit, as of the wire's.
function bench.meters(given)
    local list = {}
    for name, percent in next, braced(given, "meters") or {} do
        only({ [name] = true }, { dcr = true, coil_dcr = true, inductance = true, resonance = true, gauss = true, faces = true }, "meters")
        list[name] = positive(percent, "meters: " .. name) / 100 / 2
    end
    return list
end

-- ---- values ----

-- Each gives the values of a test by their places, and how far those scatter that were given in words.
local take = {}

local function ohms(value, what)
    return log(value == "open" and bench.OPEN_OHM or positive(value, what, "dcr_ohm"))
end

function take.dcr(readings)
    if type(readings.dcr) == "table" then
        local mean, scatter = several(readings.dcr, "dcr", ohms)
        return { mean }, { scatter }
    end
    return readings.dcr and { ohms(readings.dcr, "dcr") }
end

function take.coil_dcr(readings, job)
    return readings.coil_dcr and each(readings.coil_dcr, #job.coils, "coil_dcr", ohms)
end

local function of_bridge(read)
    return function(readings)
        local values
        for k, row in ipairs(bridge(readings)) do
            local value = read(row)
            if value then
                values = values or {}
                values[k] = log(value)
            end
        end
        return values
    end
end

take.inductance = of_bridge(function(row)
    return row.l and usual("coil_h", row.l, "inductance: l", "l_h")
end)

-- In series: the quality that a bridge shows is 2 pi f l / r.
take.loss = of_bridge(function(row)
    if row.r and row.q then
        fail("inductance", "given by 'r' or by 'q', not by both")
    elseif row.q and not row.l then
        fail("inductance", "given with 'l' where it has 'q'")
    end
    return row.r and positive(row.r, "inductance: r", "r_ohm")
        or row.q and 2 * math.pi * row.f * row.l / positive(row.q, "inductance: q")
end)

function take.resonance(readings)
    return readings.resonance and { log(usual("peak_hz", readings.resonance.f, "resonance: f", "f_hz")) }
end

function take.gauss(readings, job)
    return readings.gauss and each(readings.gauss, #job.poles, "gauss", function(value, what)
        return number(value, what) / 10
    end)
end

-- The letter of the pole's own face; or that of the needle's end that points at it, which is the other one.
function take.compass(readings, job)
    local given = readings.compass
    local turned = given and given.needle and -1 or 1
    return given and each(given, #job.poles, "compass", function(value, what)
        return turned * sign(value, what)
    end)
end

local function of_faces(key, read)
    return function(readings)
        local values
        for k, face in ipairs(readings.faces or {}) do
            if face[key] then
                values = values or {}
                values[k] = read(face[key], "faces: " .. key)
            end
        end
        return values
    end
end
take.face_gauss = of_faces("gauss", function(value, what)
    return number(value, what) / 10
end)
take.face_compass = of_faces("shows", sign)

-- All that is so soft beside the loudest is silence, however little a meter shows.
function take.levels(readings, job)
    if not readings.levels then
        return nil
    end
    local values, scatter = each(readings.levels, #job.strings, "levels", function(value, what)
        return decibels(value, what, in_words)
    end)
    local loudest = -math.huge
    for _, value in next, values do
        loudest = math.max(loudest, value)
    end
    for k, value in next, values do
        values[k] = math.max(value, loudest + bench.SILENT_DB)
    end
    return values, scatter
end

-- ---- the screwdriver ----

-- Places of the poles by their names and by the names of the coils that they stand in.
local function poles_by_name(job)
    local places, names = {}, {}
    local function add(name, k)
        if not places[name] then
            places[name], names[#names + 1] = {}, name
        end
        table.insert(places[name], k)
    end
    for k, i in ipairs(job.poles) do
        add(job.parts[i].name or "part " .. core.integer(i), k)
        add(job.coils[job.pole_coils[k]].name or "coil " .. core.integer(job.pole_coils[k]), k)
    end
    return places, names
end

local function named_signs(given, job)
    local values, places, names = {}, poles_by_name(job)
    for name, value in next, given do
        for _, k in ipairs(places[name] or no_such("pole or coil", name, names)) do
            values[k] = value ~= false and sign(value, "screwdriver") or nil
        end
    end
    return values
end

-- For each string the pole below it, of several the first.
local function poles_below(job)
    local list = {}
    for s, string in ipairs(job.strings) do
        local nearest = math.huge
        for k, pole in ipairs(job.poles) do
            local away = math.abs(job.parts[pole].at[1] - string.x)
            if away < nearest - 1e-9 then
                nearest, list[s] = away, k
            end
        end
    end
    return list
end

-- A list that is as long as there are strings and not as there are poles goes by the strings.
local function listed_signs(given, job)
    if #given == #job.poles or not job.has_strings or #given ~= #job.strings then
        return each(given, #job.poles, "screwdriver", sign)
    end
    local values = {}
    for s, k in ipairs(poles_below(job)) do
        values[k] = given[s] ~= false and sign(given[s], "screwdriver") or nil
    end
    return values
end

function take.screwdriver(readings, job)
    local given = readings.screwdriver
    if not given then
        return nil
    elseif type(given) == "string" then
        local list = {}
        for k in ipairs(job.poles) do
            list[k] = sign(given, "screwdriver")
        end
        return list
    elseif braced(given, "screwdriver") and given[1] == nil then
        return named_signs(given, job)
    end
    return listed_signs(given, job)
end

local moved = { steady = 0, jumps = 1 }

function take.wiggle(readings)
    local said = readings.wiggle
    return said and { moved[said] or fail("wiggle", '"steady" or "jumps"') } or nil
end

local jack_fields = { jack = { up = true, tone_down = true, cable = true }, jack_peak = { f = true, rise = true, tone_down = true } }

-- Fields of a reading at the jack by their places among the test's items; a tone that is not there cannot be turned down.
local function at_jack(what, read, fields)
    return function(readings, job)
        local given, values = braced(readings[what], what), {}
        for key, value in next, only(given or {}, jack_fields[what], what) do
            local place = fields(job)[key]
            if place and value ~= false then
                values[place] = read(value, what .. ": " .. key)
            elseif place == nil and key == "tone_down" then
                core.fail("diagnose: '" .. what .. ": tone_down' needs a 'tone_pot' in the circuit")
            end
        end
        return next(values) and values
    end
end

take.jack = at_jack("jack", ohms, function(job)
    local tone = job.circuit and job.circuit.tone_pot
    return { up = 1, tone_down = tone and 2, cable = tone and 3 or 2 }
end)
take.jack_peak = at_jack("jack_peak", function(value, what)
    return log(asked_hz(value, what))
end, function(job)
    return { f = 1, tone_down = job.circuit and job.circuit.tone_pot and 2, rise = false }
end)
take.jack_rise = at_jack("jack_peak", number, function()
    return { rise = 1, f = false, tone_down = false }
end)

local turned_down = { darker = 1, nothing = 0, silence = -1 }

function take.tone_knob(readings)
    local said = readings.tone_knob
    return said and { turned_down[said] or fail("tone_knob", '"darker", "nothing" or "silence"') } or nil
end

local function loudness(key, words)
    return function(readings)
        local value = readings[key]
        if value == nil or value == false then
            return nil
        end
        local db, scatter = decibels(value, key, words)
        return { math.max(db, bench.SILENT_DB) }, { scatter }
    end
end
take.output, take.hum, take.tap = loudness("output", in_words), loudness("hum", in_words), loudness("tap", in_words_of_tapping)

-- What can be said of the readings before anything is solved.
function bench.look_over(pickup, readings, given)
    bench.settings(pickup, readings, given)
    local ohms = take.dcr(readings)
    if ohms and not readings.sure then
        bench.ask_dcr(pickup, ohms)
    end
    take.inductance(readings)
    take.loss(readings)
    take.resonance(readings)
end

-- Values on the tests' scales, and the scatter of those in words; a reading that this pickup cannot have is refused.
function bench.taken(job, readings)
    local values, scatter = {}, {}
    for t, test in ipairs(bench.tests) do
        local taken, spread = take[test.name](readings, job)
        values[t], scatter[t] = taken or nil, spread -- false: not read
        if values[t] and not test.can(job) then
            core.fail("diagnose: " .. test.says
                .. " needs what the description lacks: a coil with its wire, poles, 'strings' or 'circuit'")
        end
    end
    return values, scatter
end
