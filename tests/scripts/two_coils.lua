-- A two-coil pickup whose second coil was joined the wrong way: found by the screwdriver, whichever way its signs are typed in;
-- met as customers tell it, in words, with the next reading that settles which coil; and heard.
local bar = ll.block{ name = "bar", size = { 32, 12, 3 }, at = { 0, 0, -14 }, material = "ferrite C5", north = "+y" }
local screws = ll.row{ name = "screw", count = 2, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 15, at = { 0, -9, -8.5 },
    material = "steel 1018" } }
local slugs = ll.row{ name = "slug", count = 2, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 15, at = { 0, 9, -8.5 },
    material = "steel 1018" } }
local screw_coil = ll.coil{ name = "screw coil", turns = 5000, wire = ll.awg(42), opening = { 19, 6 }, build = 3, height = 7,
    at = { 0, -9, -6 } }
local slug_coil = screw_coil:with{ name = "slug coil", at = { 0, 9, -6 }, hand = "cw" }
local function pickup(second)
    return ll.pickup{ parts = { bar, screws, slugs }, coils = { screw_coil, second }, accuracy = 20 }
end
local sound, bad = pickup(slug_coil), pickup(slug_coil:with{ hand = "ccw" })

local signs, by_pole = {}, {}
for i, row in ipairs(bad:screwdriver()) do
    signs[i] = row.meter == "positive" and "+" or "-"
    by_pole[row.pole] = signs[i]
end
local strings = { ll.string{ note = "D3", gauge = 0.66, wound = true, x = -5.2, z = 3.5 },
    ll.string{ note = "G3", gauge = 0.43, x = 5.2, z = 3.5 } }
local function first_of(readings, with)
    return ll.diagnose{ build = sound, readings = readings, strings = with }
end
for name, readings in next, { list = signs, poles = by_pole, coils = { ["screw coil"] = signs[1], ["slug coil"] = signs[3] } } do
    local first = first_of{ screwdriver = readings }.faults[1]
    assert(string.find(first.fault, "'slug coil' is reversed", 1, true) == 6 and first.probability_percent > 70,
        name .. ": " .. first.fault .. " " .. first.probability_percent)
end

-- A list as long as the strings goes by the poles below them, as scripts had it before.
local d = first_of({ screwdriver = { signs[1], signs[2] } }, strings)
assert(#d.readings == 2)

-- "Thin, much softer, it hums": one of the coils is reversed, and the blade would tell which.
d = first_of{ dcr = sound:winding().dcr_ohm, output = "much softer", hum = "much louder" }
local two = d.faults[1].fault .. d.faults[2].fault
assert(string.find(two, "'screw coil' is reversed", 1, true) and string.find(two, "'slug coil' is reversed", 1, true), two)
assert(d.faults[1].probability_percent + d.faults[2].probability_percent > 60 and d.faults[2].apart_sd < 1)
assert(string.find(d.next[1].take, "screwdriver", 1, true), d.next[1].take)

-- It sounds, far softer; what the diagnosis expects is what the program's own output says, within half a decibel.
local usual, heard, ratio = sound:output{ strings = strings }, bad:output{ strings = strings }, 0
local together = { 0, 0 }
for s = 1, 2 do
    together[1], together[2] = together[1] + usual[s].rms_mv, together[2] + heard[s].rms_mv
end
ratio = 20 * math.log(together[2] / together[1], 10)
assert(ratio < -8 and ratio > -29, ratio)
d = first_of({ screwdriver = signs, output = ratio }, strings)
assert(math.abs(tonumber(string.match(d.readings[1].likeliest_fault, "^%S+")) - ratio) < 0.5, d.readings[1].likeliest_fault)

-- So is the hum: the two coils against each other over the two together, all fields of p:hum.
local function taken(p)
    local sum = 0
    for _, row in ipairs(p:hum()) do
        sum = sum + row.even_mv ^ 2 + row.uneven_mv ^ 2
    end
    return 10 * math.log(sum, 10)
end
d = first_of{ screwdriver = signs, hum = taken(bad) - taken(sound) }
assert(math.abs(tonumber(string.match(d.readings[5].likeliest_fault, "^%S+")) - (taken(bad) - taken(sound))) < 1,
    d.readings[5].likeliest_fault)

-- Slips are answered with what the reading looks like.
local function refused(readings, text)
    local fine, message = pcall(first_of, readings)
    assert(not fine and string.find(message, text, 1, true), message)
end
refused({ screwdriver = { ["slug 3"] = "+" } }, "no pole or coil 'slug 3'; did you mean 'slug 1'?")
refused({ screwdriver = { "+", "-" } }, "a list of 4 readings")
refused({ hum = "laud" }, '"much louder"')
refused({ gauss = 1000 }, "one reading for each pole, from the bass side")

-- Balance levels plucks: what it promises is what the program's own output says, on a pickup whose poles are all wrong.
local uneven = ll.pickup{ accuracy = 10, parts = { bar:with{ size = { 62, 12, 3 }, north = "+z" },
    ll.row{ count = 6, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 15, at = { 0, 0, -3.9 }, material = "steel 1018" } } },
    coils = { ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 58, 6 }, build = 3, height = 7, at = { 0, 0, -3 } } } }
local set = {}
for i, s in ipairs{ { "E2", 1.17, true }, { "A2", 0.91, true }, { "D3", 0.66, true }, { "G3", 0.43 }, { "B3", 0.33 }, { "E4", 0.254 } } do
    set[i] = ll.string{ note = s[1], gauge = s[2], wound = s[3], x = (i - 3.5) * 10.4, z = 6.6 + s[2] / 2 }
end
local function spread_db(p, more)
    local fields, least, most = { strings = set, partials = 1 }, math.huge, 0
    for key, value in next, more or {} do
        fields[key] = value
    end
    for _, row in ipairs(p:output(fields)) do
        least, most = math.min(least, row.rms_mv), math.max(most, row.rms_mv)
    end
    return 20 * math.log(most / least, 10)
end
local before = spread_db(uneven)
local t, level = ll.balance{ build = uneven, strings = set, range = { -2, 1.5 } }
local promised = {}
for s, row in ipairs(t) do
    promised[s] = row.after_db
end
table.sort(promised)
assert(math.abs(spread_db(level) - (promised[6] - promised[1])) < 0.2, "spread " .. spread_db(level) .. "\n" .. t:as("text"))
assert(spread_db(level) < 0.5 * before, "before " .. before .. "\n" .. t:as("text"))
local soft = { position = 60, displacement = 0.5, width = 12 }
local _, for_fingers = ll.balance{ build = uneven, strings = set, range = { -2, 1.5 }, pluck = soft }
assert(spread_db(for_fingers, { pluck = soft }) < spread_db(level, { pluck = soft }) + 0.05)
