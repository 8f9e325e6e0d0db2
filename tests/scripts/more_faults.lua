-- Faults of leads, of height and of sheets, read on pickups that really are built so: each comes first, and what costs little is
-- asked for first.
local function rods(moved)
    return ll.row{ count = 6, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 + (moved or 0) },
        material = "AlNiCo 5", north = "+z" } }
end
local coil = ll.coil{ turns = 7900, wire = ll.awg(42), opening = { 58, 5.2 }, build = 3.5, height = 11, at = { 0, 0, -8 } }
local function pickup(moved, cover)
    return ll.pickup{ parts = { rods(moved), cover }, coils = { coil }, accuracy = 10 }
end
local sound = pickup()
local dcr = sound:winding().dcr_ohm

local function bridge(p)
    local row = p:impedance{ f = 1000 }[1]
    return { f = 1000, l = row.l_h, r = row.r_ohm }
end
local function gauss(p)
    local list = {}
    for i, row in ipairs(p:field{ points = { { -26, 0, 1 }, { -15.6, 0, 1 }, { -5.2, 0, 1 }, { 5.2, 0, 1 }, { 15.6, 0, 1 }, { 26, 0, 1 } } }) do
        list[i] = row.bz_mt * 10
    end
    return list
end
local function first(build, readings)
    local d = ll.diagnose{ build = build, readings = readings }
    return d.faults[1].fault, d
end
local function expect(text, build, readings)
    local says, d = first(build, readings)
    assert(string.find(says, text, 1, true), "expected " .. text .. ", found\n" .. d.faults:as("text"))
    return d
end

-- A joint adds ohms and nothing else, and jumps under the finger (common practice, no source).
local b = bridge(sound)
expect("a poor joint in the leads", sound, { dcr = dcr + 4000, wiggle = "jumps", inductance = { f = 1000, l = b.l, r = b.r + 4000 } })
-- The meter's leads, and silence.
expect("the hot lead touches ground", sound, { dcr = 0.9, output = "nothing heard" })
-- The field is right and all strings are softer alike.
local d = expect("too far from the strings", sound, { dcr = dcr, gauss = gauss(sound), output = -5 })
assert(string.find(d.faults[1].fitted, "too far by", 1, true), d.faults[1].fitted)
-- Low rods are heard as a low pickup is, and no meter over them tells the two apart: both are named, and so is that they read alike.
local named, apart = false, nil
for _, row in ipairs(d.faults) do
    if string.find(row.fault, "all poles stand too low or too high", 1, true) then
        named, apart = string.find(row.fitted, "^too low by [%d.]+ mm, [%d.]+ mm to [%d.]+ mm$") ~= nil, row.apart_sd
    end
end
assert(named and apart < 1, d.faults:as("text"))

-- A cover of brass in place of nickel silver: more loss.
local function cover(material)
    return ll.plate{ name = "cover", size = { 70, 16, 0.5 }, at = { 0, 0, 0.75 }, material = material }
end
local covered = pickup(0, cover("nickel silver"))
expect("the cover is of brass, not of nickel silver", covered,
    { dcr = dcr, inductance = { bridge(pickup(0, cover("brass"))),
        (function()
            local row = pickup(0, cover("brass")):impedance{ f = 10000 }[1]
            return { f = 10000, l = row.l_h, r = row.r_ohm }
        end)() } })

-- Two coils, of which one is bridged: the ohm meter finds it.
local two = ll.pickup{ parts = { rods() }, coils = { coil:with{ name = "one", turns = 3900, height = 5, at = { 0, 0, -4.5 } },
    coil:with{ name = "two", turns = 3900, height = 5, at = { 0, 0, -11 } } }, accuracy = 10 }
local half = two:winding().dcr_ohm / 2
expect("coil 'two' is bridged", two, { dcr = half, coil_dcr = { half, 0.4 } })

-- What costs a minute comes before what costs twenty; what cannot be taken is not asked for; a bench's own minutes count.
d = ll.diagnose{ build = sound, readings = { output = "softer" }, minutes = { gauss = false, tap = 7.5 } }
local before = math.huge
for _, row in ipairs(d.next) do
    local worth = row.settles_bits / row.minutes
    assert(worth <= before and not string.find(row.take, "gauss meter over", 1, true), row.take)
    assert(not string.find(row.take, "tapping", 1, true) or row.minutes == 7.5, row.minutes)
    before = worth
end
local fine, message = pcall(ll.diagnose, { build = sound, readings = {}, minutes = { gaus = 3 } })
assert(not fine and string.find(message, "did you mean 'gauss'", 1, true), message)
-- Like poles slid over one another, leads like hairs: what a mend risks is said with it.
assert(string.find(expect("weak", sound, { dcr = dcr, gauss = (function()
    local list = gauss(sound)
    list[3] = 0.5 * list[3]
    return list
end)() }).faults:as("text"), "mind: magnets are brittle", 1, true))

-- What was read several times, what one could not tell, a meter's class, the needle's other end, wire by its diameter.
local function top(readings, build)
    local d = ll.diagnose{ build = build or sound, readings = readings }
    return d.faults[1], d
end
assert(string.find(top{ dcr = { 1.25 * dcr, 1.27 * dcr, 1.26 * dcr }, wiggle = "steady" }.fault, "AWG 43", 1, true))
assert(not pcall(top, { dcr = { dcr } }))
local known, full = top{ dcr = dcr, compass = { "N", "N", "S", "cannot tell", "N", "N" }, hum = "cannot tell" }
assert(string.find(known.fault, "'pole 3' is upside down", 1, true), known.fault)
for _, row in ipairs(full.readings) do
    assert(not string.find(row.reading, "pole 4", 1, true) and not string.find(row.reading, "hum", 1, true), row.reading)
end
known = top{ compass = { "S", "S", "N", "S", "S", "S", needle = true } }
assert(string.find(known.fault, "'pole 3' is upside down", 1, true), known.fault)
local function off_by(meters)
    local _, d = top{ gauss = gauss(pickup(0.05)), meters = meters }
    return d
end
assert(off_by{ gauss = 20 }.faults[1].probability_percent ~= off_by().faults[1].probability_percent)
local fine_meter, why = pcall(top, { dcr = dcr, meters = { dc = 1 } })
assert(not fine_meter and string.find(why, "dcr", 1, true), why)
local metric = ll.pickup{ parts = { rods() }, coils = { coil:with{ wire = ll.wire{ bare = 0.063 } } }, accuracy = 10 }
known = top({ dcr = 1.27 * metric:winding().dcr_ohm, wiggle = "steady" }, metric)
assert(string.find(known.fault, "is wound with 0.056 mm, not 0.063 mm", 1, true), known.fault)
