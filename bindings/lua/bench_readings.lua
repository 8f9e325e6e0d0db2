-- bench_readings.lua - the readings of a script as the tests' values: { [test] = { [item] = value } }.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local bench = core.bench
local type, log, concat = core.type, math.log, table.concat

local USUAL_PROBE, USUAL_NEEDLE = 1, 3 -- mm from a pole's top
local USUAL_FREQUENCY, USUAL_LOAD = 1000, { cable = 500e-12, input = 1e6 }
local signs = { N = 1, S = -1, weak = 0, ["+"] = 1, ["-"] = -1, nothing = 0 }

local function fail(what, wanted)
    core.fail("diagnose: '" .. what .. "' must be " .. wanted)
end

local function number(value, what)
    if type(value) ~= "number" or value ~= value then
        fail(what, "a number")
    end
    return value
end

local function positive(value, what)
    if number(value, what) <= 0 then
        fail(what, "greater than zero")
    end
    return value
end

-- A sign in words.
local function sign(value, what)
    return signs[value] or fail(what, '"N", "S" or "weak" for a compass, "+", "-" or "nothing" for a needle')
end

-- One value for each item of a test; false where nothing was read.
local function each(list, count, what, read)
    if type(list) ~= "table" or #list ~= count then
        fail(what, "a list of " .. core.integer(count) .. " readings, from the bass side; false where none was taken")
    end
    local values = {}
    for k, value in ipairs(list) do
        values[k] = value ~= false and read(value, what) or nil
    end
    return values
end

-- Bridge readings as a list, also when it is only one.
local function bridge(readings)
    local list = readings.inductance
    if list == nil then
        return {}
    elseif type(list) ~= "table" then
        fail("inductance", "{ f = 1000, l = 2.9, r = 7200 } or a list of these")
    end
    return list.f and { list } or list
end

local function part_named(parts, name)
    local names = {}
    for i, part in ipairs(parts) do
        if part.name == name then
            return i
        end
        names[#names + 1] = part.name
    end
    local near = type(name) == "string" and core.nearest(name, names)
    core.fail("diagnose: the pickup has no part '" .. core.tostring(name) .. "'"
        .. (near and "; did you mean '" .. near .. "'?" or ""))
end

local function given_faces(parts, faces)
    local list = {}
    for k, face in ipairs(faces) do
        if type(face) ~= "table" or not bench.sides[face.side] then
            fail("faces", 'a list such as { { part = "bridge bar", side = "-y", shows = "N" } }')
        end
        list[k] = { part = part_named(parts, face.part), side = face.side, distance = face.probe or USUAL_PROBE }
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

-- What the job must know before it opens: distances, frequencies, load.
function bench.settings(pickup, readings, strings)
    local parts, frequencies, load = bench.flat(pickup.parts or {}), {}, {}
    for k, row in ipairs(bridge(readings)) do
        frequencies[k] = positive(row.f, "inductance: f")
    end
    for key, value in next, readings.resonance or USUAL_LOAD do
        load[key] = value
    end
    load.f, load.rise = nil, nil
    return {
        strings = strings, temperature = readings.temperature or 20, load = load,
        frequencies = #frequencies > 0 and frequencies or { USUAL_FREQUENCY },
        distances = { (readings.gauss or {}).probe or USUAL_PROBE, (readings.compass or {}).probe or USUAL_NEEDLE },
        faces = readings.faces and given_faces(parts, readings.faces) or usual_faces(parts, core.poles(pickup)),
    }
end

-- ---- values ----

local take = {}

local function ohms(value, what)
    return log(value == "open" and bench.OPEN_OHM or positive(value, what))
end

function take.dcr(readings)
    return readings.dcr and { ohms(readings.dcr, "dcr") }
end

function take.coil_dcr(readings, job)
    return readings.coil_dcr and each(readings.coil_dcr, #job.coils, "coil_dcr", ohms)
end

local function of_bridge(key)
    return function(readings)
        local values
        for k, row in ipairs(bridge(readings)) do
            if row[key] then
                values = values or {}
                values[k] = log(positive(row[key], "inductance: " .. key))
            end
        end
        return values
    end
end
take.inductance, take.loss = of_bridge("l"), of_bridge("r")

function take.resonance(readings)
    return readings.resonance and { log(positive(readings.resonance.f, "resonance: f")) }
end

function take.gauss(readings, job)
    return readings.gauss and each(readings.gauss, #job.poles, "gauss", function(value, what)
        return number(value, what) / 10
    end)
end

function take.compass(readings, job)
    return readings.compass and each(readings.compass, #job.poles, "compass", sign)
end

function take.face_gauss(readings)
    local values
    for k, face in ipairs(readings.faces or {}) do
        if face.gauss then
            values = values or {}
            values[k] = number(face.gauss, "faces: gauss") / 10
        end
    end
    return values
end

function take.face_compass(readings)
    local values
    for k, face in ipairs(readings.faces or {}) do
        if face.shows then
            values = values or {}
            values[k] = sign(face.shows, "faces: shows")
        end
    end
    return values
end

function take.levels(readings, job)
    return readings.levels and each(readings.levels, #job.strings, "levels", number)
end

function take.screwdriver(readings, job)
    local given = readings.screwdriver
    if type(given) == "string" then
        local list = {}
        for k in ipairs(job.strings) do
            list[k] = given
        end
        given = list
    end
    return given and each(given, #job.strings, "screwdriver", sign)
end

local function of_number(key)
    return function(readings)
        return readings[key] and { number(readings[key], key) }
    end
end
take.output, take.hum, take.tap = of_number("output"), of_number("hum"), of_number("tap")

-- Values on the tests' scales; a reading that this pickup cannot have is refused.
function bench.taken(job, readings)
    local values, any = {}, false
    for t, test in ipairs(bench.tests) do
        values[t] = take[test.name](readings, job)
        any = any or values[t] ~= nil
        if values[t] and not test.can(job) then
            core.fail("diagnose: " .. test.says
                .. " needs what the description lacks: a coil with its wire, poles, or 'strings'")
        end
    end
    return values, any
end
