-- A blind study of ll.diagnose: what it makes of pickups whose faults only the study knows.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
--   lodeloom run --quiet --time-limit 100000 tests/bench/blind_study.lua cases=cases_1 sequences=100 > judged_1
--   awk -f tests/bench/blind_study.awk judged_*
--
-- The cases are the file cases_1.lua beside this script, made by blind_cases.lua. Each is diagnosed from two `sets` of five cheap
-- readings; the first so many `sequences` also one reading after the other, as suggested and in a fixed order. With `from`
-- and `to` only some cases are. A line is printed for each diagnosis, which blind_study.awk adds up:
--
--   mode, case, construction, truth, size, readings taken, rank of the truth, probability of the first in per cent,
--   that of the truth, "alike" where these readings cannot tell the truth from the first, what came first
local sequences, from, to = given.sequences or 0, given.from or 1, given.to or math.huge

local builds = require "blind_builds"
for _, c in ipairs(builds) do
    c.sound = ll.pickup{ parts = c.parts, coils = c.coils }
end

-- Two sets of five: with strings plucked, or with a finger's tapping; then the ohm meter goes to each of two coils, too, and
-- the gauss meter to the faces of magnets that are no poles.
local sets = { plucked = { "dcr", "inductance", "gauss", "levels", "screwdriver" },
    tapped = { "dcr", "coil_dcr", "inductance", "gauss", "face_gauss", "tap", "screwdriver" } }
local fixed_order = { "dcr", "inductance", "screwdriver", "levels", "gauss", "tap", "hum", "face_gauss", "coil_dcr", "faces",
    "compass" }
local by_words = { ["dc resistance"] = "dcr", ["dc resistance of each coil"] = "coil_dcr",
    inductance = "inductance", ["series resistance on the bridge"] = "inductance",
    ["gauss meter over the poles"] = "gauss", ["compass over the poles"] = "compass",
    ["compass at the magnets' faces"] = "faces", ["gauss meter at the magnets' faces"] = "face_gauss",
    ["level of the strings against each other"] = "levels", ["output against a sound one"] = "levels",
    ["screwdriver test, blade pulled off"] = "screwdriver", ["hum against a sound one"] = "hum",
    ["tapping, against a sound one"] = "tap" }

-- Compass and gauss meter at the same faces are one list.
local function with_faces(old, new)
    local list = {}
    for k, face in ipairs(new) do
        local before = old and old[k] or face
        list[k] = { part = face.part, side = face.side, shows = face.shows or before.shows, gauss = face.gauss or before.gauss }
    end
    return list
end

local function merged(case, taken)
    local all = {}
    for _, name in ipairs(taken) do
        for key, value in pairs(case.readings[name] or {}) do
            all[key] = key == "faces" and with_faces(all.faces, value) or value
        end
    end
    return all
end

local function matches(text, truth)
    if #truth == 0 then
        return string.sub(text, 1, 6) == "sound:"
    end
    for _, says in ipairs(truth) do
        if not string.find(text, says, 1, true) then
            return false
        end
    end
    return (string.find(text, "; and ", 1, true) ~= nil) == (#truth == 2)
end

local function row_of(d, truth)
    for _, row in ipairs(d.faults) do
        if matches(row.fault, truth) then
            return row
        end
    end
    return { rank = 99, probability_percent = 0 }
end

local function judge(mode, n, case, taken)
    local c, readings = builds[case.at], merged(case, taken)
    if readings.levels then
        readings.levels.equal = "velocity" -- as blind_cases reads strings
    end
    local d = ll.diagnose{ build = c.sound, strings = c.strings, readings = readings }
    local found = row_of(d, case.truth)
    print(table.concat({ mode, n, c.name, #case.truth == 0 and "sound" or table.concat(case.truth, " + "), case.size, #taken,
        found.rank, string.format("%.1f", d.faults[1].probability_percent), string.format("%.1f", found.probability_percent),
        (found.apart_sd or 99) < 1 and "alike" or "", d.faults[1].fault }, "\t"))
    return d
end

-- The next reading, by the order or by the suggestion; nil when there is none.
local choose = {}

function choose.fixed(_, case, has)
    for _, name in ipairs(fixed_order) do
        if not has[name] and case.readings[name] then
            return name
        end
    end
end

function choose.suggested(d, case, has)
    for _, row in ipairs(d.next) do
        local name = by_words[row.take]
        if name and not has[name] and case.readings[name] then
            return name
        end
    end
end

-- One reading after the other, the resistance first, until five are taken and one fault has 90 %.
local function sequence(mode, n, case)
    local taken, has, name, d = {}, {}, "dcr", nil
    while name and (#taken < 5 or d.faults[1].probability_percent < 90) do
        taken[#taken + 1], has[name] = name, true
        d = judge(mode, n, case, taken)
        name = choose[mode](d, case, has)
    end
end

for n, case in ipairs(require(given.cases)) do
    if n >= from and n <= to then
        for mode in string.gmatch(given.sets or "plucked tapped", "%a+") do
            judge(mode, n, case, sets[mode])
        end
        if n <= sequences then
            sequence("suggested", n, case)
            sequence("fixed", n, case)
        end
    end
end
