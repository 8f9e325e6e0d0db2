-- bench_tests.lua - the readings that a bench can take: what each is called, how far it is usually off, and what it
-- would be for a pickup in a given state.
--
-- Errors are standard deviations on the scale that a test is weighed on (`take` brings a reading there, `show` back).
-- `own` is each reading's, as absolute and relative to the value; `shared` is what all readings of the test have in
-- common: the probe's calibration and height, an unknown reference. Figures without a note are common practice, no
-- source; the meter's are the usual half per cent of hand instruments. `relative` on the logarithmic scale, which has `ratio`, is absolute.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local bench = core.bench
local abs, log, exp, format = math.abs, math.log, math.exp, string.format
local max, min, gsub = math.max, math.min, string.gsub

local function db(ratio)
    return 20 * log(ratio, 10)
end

local function of_poles(job)
    local names = {}
    for k, i in ipairs(job.poles) do
        names[k] = bench.label(job.parts[i], i, "pole")
    end
    return names
end

local function of_strings(job)
    local names = {}
    for k, s in ipairs(job.strings) do
        names[k] = s.name
    end
    return names
end

-- What the probes in places first ... read.
local function probed(state, first, count)
    return { table.unpack(state.get("field"), first, first + count - 1) }
end

local function first_face(job)
    return #job.poles * #job.distances
end

local words_of_sign = { [1] = "N", [0] = "weak", [-1] = "S" }

local function shown_pole(value)
    return words_of_sign[value]
end

local function gauss(value)
    return format("%.0f G", value * 10)
end

local function decibel(value)
    return format("%+.1f dB", abs(value) < 0.05 and 0 or value)
end

local function logarithm(unit, pattern, scale)
    return function(value)
        return format(pattern, exp(value) / (scale or 1)) .. " " .. unit
    end
end

local function has_wire(job)
    for i in ipairs(job.coils) do
        if not job.electric.r[i] then
            return false
        end
    end
    return #job.coils > 0
end

local function has_coil(job)
    return #job.coils > 0
end

-- Values of a state over the mean of the sound pickup's.
local function relative(job, state, ask)
    local key, mean, list = "sound " .. ask, 0, {}
    job[key] = job[key] or bench[ask](job, bench.state(job, {}, {}))
    for _, v in ipairs(job[key]) do
        mean = mean + abs(v) / #job[key]
    end
    for n, v in ipairs(bench[ask](job, state)) do
        list[n] = mean > 0 and v / mean or 0
    end
    return list
end

local OPEN_FROM = 2e6 -- ohm
local BLIND = 5 -- in logarithms: an instrument that finds nothing may show anything

-- Share of what shorted turns do to the bridge that is not known, for nobody knows where in the coil they lie: their
-- coupling, which goes in squared, may be 0.75 or 0.95.
local WHERE_SHORTED = 0.25

-- Noise, the pick and what other strings give hide all that is softer than this beside a sound one. What little is left of a string
-- whose pole is dead hangs on its neighbours and on where the string runs: levels scatter the more the softer they are, up to
-- 6 dB. Common practice, no source.
bench.SILENT_DB = -30
local function near_silence(ratio)
    return min(6, 0.06 / ratio ^ 2)
end

local tests = {}
bench.tests = tests

-- Minutes that each takes at a bench with its instruments at hand, by the name of the reading in a script; faces of magnets are
-- reached by taking the pickup apart. Common practice, no source.
bench.usual_minutes = { dcr = 1, coil_dcr = 3, inductance = 2, resonance = 10, gauss = 4, compass = 2, faces = 20, levels = 6, output = 3,
    screwdriver = 3, hum = 3, tap = 1, wiggle = 1, jack = 2, jack_peak = 12, tone_knob = 1 }
local reading_of = { jack_rise = "jack_peak", loss = "inductance", face_gauss = "faces", face_compass = "faces" }

-- What a script calls a test's reading.
function bench.reading_of(test)
    return reading_of[test.name] or test.name
end

tests[1] = {
    name = "dcr", says = "dc resistance", own = 0.005, ratio = true,
    can = has_wire,
    show = function(value)
        return value > log(OPEN_FROM) and "open" or format("%.0f ohm", exp(value))
    end,
    predict = function(job, state)
        return { log(bench.dcr(job, state, job.settings.temperature)) }
    end,
}

tests[2] = {
    name = "inductance", says = "inductance", own = 0.02, ratio = true,
    can = has_wire,
    items = function(job)
        local names = {}
        for k, f in ipairs(job.settings.frequencies) do
            names[k] = format("%.0f Hz", f)
        end
        return names
    end,
    show = logarithm("H", "%.3f"),
    predict = function(job, state)
        local list, extra = {}, {}
        for k, f in ipairs(job.settings.frequencies) do
            local _, l, short = bench.impedance(job, state, f, job.settings.temperature)
            list[k], extra[k] = log(max(l, 1e-4)), WHERE_SHORTED * abs(short.l) / max(l, 1e-4)
        end
        return list, extra
    end,
    blind_when_open = true,
}

tests[3] = {
    name = "loss", says = "series resistance on the bridge", own = 0.04, ratio = true, -- losses of eddy currents are known less well
    can = has_wire,
    items = tests[2].items, show = logarithm("ohm", "%.0f"),
    predict = function(job, state)
        local list, extra = {}, {}
        for k, f in ipairs(job.settings.frequencies) do
            local r, _, short = bench.impedance(job, state, f, job.settings.temperature)
            r = max(r, bench.LEADS_OHM)
            list[k], extra[k] = log(r), WHERE_SHORTED * short.r / r
        end
        return list, extra
    end,
    blind_when_open = true,
}

tests[4] = {
    name = "resonance", says = "peak with its load", own = 0.03, ratio = true,
    can = has_wire,
    show = logarithm("Hz", "%.0f"),
    predict = function(job, state)
        local f = bench.peak(job, state, job.settings.load)
        return { log(f or 1000) }, { f and 0 or BLIND } -- a damped coil has no peak to be found
    end,
    blind_when_open = true,
}

-- A probe is held 1 mm away, give or take 0.2 mm, over which the field of a pole falls by some 4 %; hand meters are good
-- to 3 %.
tests[5] = {
    name = "gauss", says = "gauss meter over the poles", own = 0.5, relative = 0.03, shared_relative = 0.05,
    can = function(job)
        return #job.poles > 0
    end,
    items = of_poles, show = gauss,
    predict = function(job, state)
        return probed(state, 1, #job.poles)
    end,
}

tests[6] = {
    name = "compass", says = "compass over the poles", sign = true, own = 0.3, relative = 0.1, weak = 1,
    can = tests[5].can, items = of_poles, show = shown_pole,
    predict = function(job, state)
        return probed(state, #job.poles + 1, #job.poles)
    end,
}

local function face_names(job)
    local names = {}
    for k, face in ipairs(job.faces) do
        names[k] = bench.label(job.parts[face.part], face.part, "magnet") .. ", " .. face.side
    end
    return names
end

tests[7] = {
    name = "face_gauss", says = "gauss meter at the magnets' faces", own = 1, relative = 0.06, shared_relative = 0.08,
    can = function(job)
        return #job.faces > 0
    end,
    items = face_names, show = gauss,
    predict = function(job, state)
        return probed(state, first_face(job) + 1, #job.faces)
    end,
}

tests[8] = {
    name = "face_compass", says = "compass at the magnets' faces", sign = true, own = 1.5, relative = 0.1, weak = 3,
    can = tests[7].can, items = face_names, show = shown_pole, predict = tests[7].predict,
}

tests[9] = {
    name = "levels", says = "level of the strings against each other", own = 1, shared = 30,
    can = function(job)
        return has_coil(job) and job.has_strings and #job.strings > 1
    end,
    items = of_strings, show = decibel,
    predict = function(job, state)
        local list, extra = {}, {}
        for s, v in ipairs(relative(job, state, "levels")) do
            list[s] = max(db(v), bench.SILENT_DB)
            extra[s] = near_silence(v)
        end
        return list, extra
    end,
}

tests[10] = {
    name = "output", says = "output against a sound one", own = 2.5,
    can = has_coil, show = decibel,
    predict = function(job, state)
        local sum = 0
        for _, v in ipairs(relative(job, state, "levels")) do
            sum = sum + v / #job.strings
        end
        return { max(db(sum), bench.SILENT_DB) }, { near_silence(sum) }
    end,
}

-- The needle of a meter across the leads, + on hot, as a blade is pulled off the pole, as p:screwdriver has it.
tests[11] = {
    name = "screwdriver", says = "screwdriver test, blade pulled off", sign = true, own = 0.03, relative = 0.1,
        weak = 0.08,
    can = function(job)
        return has_coil(job) and #job.poles > 0
    end,
    items = of_poles,
    show = function(value)
        return ({ [1] = "+", [0] = "nothing", [-1] = "-" })[value]
    end,
    predict = function(job, state)
        return relative(job, state, "blades")
    end,
}

tests[12] = {
    name = "hum", says = "hum against a sound one", own = 3,
    can = has_coil, show = decibel,
    predict = function(job, state)
        local hum, scatter = bench.hum_db(job, state)
        return { hum }, { scatter }
    end,
}

-- A loose winding rattles along with the case: some 15 dB more under the finger.
tests[13] = {
    name = "tap", says = "tapping, against a sound one", own = 4,
    can = has_coil, show = decibel,
    predict = function(_, state)
        return { state.loose and 15 or 0 }
    end,
}

-- Where the leads of each coil can be reached.
tests[14] = {
    name = "coil_dcr", says = "dc resistance of each coil", own = 0.005, ratio = true,
    can = function(job)
        return has_wire(job) and #job.coils > 1
    end,
    items = function(job)
        local names = {}
        for i, coil in ipairs(job.coils) do
            names[i] = bench.label(coil, i, "coil")
        end
        return names
    end,
    show = tests[1].show,
    predict = function(job, state)
        local list = {}
        for i, ohm in ipairs(bench.coil_dcr(job, state, job.settings.temperature)) do
            list[i] = log(ohm)
        end
        return list
    end,
}

-- An ohm meter's figure that jumps as each lead is moved. A joint that is poor does so nine times in ten, a broken wire where the break
-- is in a lead; common practice, no source.
tests[15] = {
    name = "wiggle", says = "ohm meter as the leads are moved", sign = true, own = 0.4, weak = 0.5, can = has_coil,
    show = function(value)
        return value == 0 and "steady" or "jumps"
    end,
    predict = function(_, state)
        return { state.coils.joint and 1.1 or bench.is_open(state) and 0.5 or 0 }
    end,
}

local function has_circuit(job)
    return job.circuit ~= nil and has_wire(job)
end

local function has_tone(job)
    return has_circuit(job) and job.circuit.tone_pot ~= nil
end

-- What may be read with the controls up, with the tone down where there is one, and in a third way.
local function with_tone(up, down, third)
    return function(job)
        local names = { up, has_tone(job) and down or third }
        names[3] = has_tone(job) and third or nil
        return names
    end
end

-- An ohm meter at the plug that goes into the amplifier, or at the jack.
tests[16] = {
    name = "jack", says = "ohm meter at the jack", own = 0.005, ratio = true, can = has_circuit, show = tests[1].show,
    items = with_tone("all up", "tone down", "through the cable"),
    predict = function(job, state)
        local list = { log(bench.jack_ohm(job, state)) }
        list[2] = has_tone(job) and log(bench.jack_ohm(job, state, true)) or nil
        list[#list + 1] = log(bench.jack_ohm(job, state, false, true))
        return list
    end,
}

-- Where the tone capacitor and the coil ring, and where the cable and the coil do.
tests[17] = {
    name = "jack_peak", says = "peak at the amplifier", own = 0.03, ratio = true, can = has_circuit, show = tests[4].show,
    items = with_tone("all up", "tone down"),
    predict = function(job, state)
        local list, extra = {}, {}
        local heard = bench.heard_through(job, state) or {}
        for k in ipairs(tests[17].items(job)) do
            local f = (heard[k == 1 and "peak_up" or "peak_down"] or {}).f_hz
            list[k], extra[k] = log(f or 1000), f and 0 or BLIND
        end
        return list, extra
    end,
    blind_when_open = true,
}

-- How sharp a peak is depends on losses that are known less well.
tests[18] = {
    name = "jack_rise", says = "rise of the peak at the amplifier", own = 1.5, can = has_circuit, show = decibel,
    predict = function(job, state)
        local heard = bench.heard_through(job, state)
        return { heard and heard.peak_up.rise_db or 0 }, { heard and 0 or BLIND }
    end,
    blind_when_open = true,
}

-- As long as something is heard before; who hears nothing has nothing to say of it, and that is taken as what a sound one would do.
local words_of_knob = { [1] = "darker", [0] = "nothing", [-1] = "silence" }
tests[19] = {
    name = "tone_knob", says = "turning the tone down", sign = true, own = 0.2, weak = 0.5, can = has_tone,
    show = function(value)
        return words_of_knob[value]
    end,
    predict = function(job, state)
        local heard = bench.heard_through(job, state) or bench.heard_through(job, bench.state(job, {}, {}))
        return { heard and heard.knob or 1 }
    end,
}

-- What a reading changed by, in words.
function bench.difference(test, before, after)
    if test.show(before) == test.show(after) then
        return "as before"
    elseif test.sign then
        return "changed"
    elseif not test.ratio then
        return (after < before and "-" or "+") .. gsub(test.show(abs(after - before)), "^%+", "")
    end
    if exp(before) > OPEN_FROM or exp(after) > OPEN_FROM then
        return exp(after) > OPEN_FROM and "now open" or "no longer open"
    end
    local by = test.show(log(abs(exp(after) - exp(before))))
    return format("%s%s (%+.1f %%)", after < before and "-" or "+", by, 100 * (exp(after - before) - 1))
end

-- A prediction in the words of its reading.
function bench.shown(row, value)
    return row.of.show(bench.as_read(row, value))
end

-- Which tests need strings solved: the costly ones.
local of_strings_only = { levels = true, output = true }

function bench.without_strings(wanted)
    local some = {}
    for t, test in ipairs(tests) do
        some[t] = wanted[t] and not of_strings_only[test.name]
    end
    return some
end

function bench.wants_blade(wanted)
    for t, test in ipairs(tests) do
        if wanted[t] and test.name == "screwdriver" then
            return true
        end
    end
    return false
end

function bench.needs_strings(wanted)
    for t, test in ipairs(tests) do
        if wanted[t] and of_strings_only[test.name] then
            return true
        end
    end
    return false
end

-- Every test that this job allows.
function bench.possible(job)
    local wanted = {}
    for t, test in ipairs(tests) do
        wanted[t] = test.can(job)
    end
    return wanted
end

-- The readings of some tests in a row, with their errors as the engine wants them. `test` counts only those that are
-- there. scatter[test][item]: of readings that were given in words, in place of the test's own.
function bench.layout(job, wanted, scatter)
    local rows, number = {}, 0
    for t, test in ipairs(tests) do
        number = wanted[t] and number + 1 or number
        for k, name in ipairs(wanted[t] and (test.items and test.items(job) or { "" }) or {}) do
            local in_words, meter = scatter and scatter[t] and scatter[t][k], job.settings.meters[bench.reading_of(test)]
            rows[#rows + 1] = { test = number, index = t, of = test, item = k, sign = test.sign, weak = test.weak,
                name = name == "" and test.says or test.says .. ", " .. name, absolute = in_words or not test.relative and meter or test.own,
                relative = test.relative and meter or test.relative, common = test.shared, common_relative = test.shared_relative }
        end
    end
    return rows
end

-- Predictions in the order of the layout, and the errors that come with the state itself.
function bench.predict(job, state, wanted)
    local values, extra, open = {}, {}, bench.is_open(state)
    for t, test in ipairs(tests) do
        if wanted[t] then
            local list, own = test.predict(job, state)
            for k, value in ipairs(list) do
                values[#values + 1] = value
                extra[#extra + 1] = open and test.blind_when_open and BLIND or own and own[k] or 0
            end
        end
    end
    return values, extra
end
