-- ll.instrument by numbers that can be had without it, and its answers to slips.
local function close(actual, expected, tolerance)
    assert(actual and math.abs(actual - expected) <= tolerance, string.format("%s, expected %.8g", tostring(actual), expected))
end
local function db(ratio)
    return 20 * math.log(ratio, 10)
end

local string_g = ll.string{ note = "G3", gauge = 0.43, x = 0, gap = 2.5, scale = 648 }
local coil = ll.lumped{ r = 6000, l = 2.4, c = 100 * ll.pf }

-- Two measured pickups, told by blade, compass and level.
local function instrument(place, second, positions, more)
    local bridge = { name = "bridge", coil = coil, from_bridge = place, shows = "N", meter = "positive", level = 0 }
    for key, value in pairs(second or {}) do
        bridge[key] = value
    end
    local fields = { strings = string_g, positions = positions,
        pickups = { { name = "neck", coil = coil, from_bridge = 60, shows = "N", meter = "positive" }, bridge } }
    for key, value in pairs(more or {}) do
        fields[key] = value
    end
    return ll.instrument(fields)
end
local both = { "neck", "bridge", { from = { "neck", "bridge" }, wiring = "series" }, { from = { "neck", "bridge" }, wiring = "parallel" },
    { from = { "neck", "bridge" }, wiring = "parallel", reversed = { false, true } } }

-- Equal pickups in one place, nothing connected: twice as much in series, the same in parallel, nothing against each other.
local t = instrument(60, nil, both)
close(t[3].level_db - t[1].level_db, db(2), 1e-3)
close(t[4].level_db, t[1].level_db, 1e-3)
assert(t[5].level_db == nil and t[5].says == "silent", t[5].level_db)
assert(t[1].level_mv == nil and t[1].says == "hums" and t[3].hum_db == 0)
close(t[4].hum_db, -db(2), 1e-3)
-- An ohm meter: 6, 12 and 3 kilohms.
close(t[1].dcr_kohm, 6, 1e-3)
close(t[3].dcr_kohm, 12, 1e-3)
close(t[4].dcr_kohm, 3, 1e-3)

-- 6 dB softer, and in parallel: the mean of both (J. Millman, Proc. IRE 28 (1940) 413), as equal coils load each other alike.
t = instrument(60, { level = -db(2) }, both)
close(t[2].level_db - t[1].level_db, -db(2), 1e-3)
close(t[4].level_db - t[1].level_db, db(0.75), 1e-3)

-- Plucked in the middle a string has odd partials alone, and places as far from one end as from the other hear them alike: two pickups
-- there add to twice the voltage, and against each other give nothing. The amplifier is far.
t = instrument(648 - 60, nil, both, { pluck = { position = 324, displacement = 1 } })
close(t[3].level_db - t[1].level_db, db(2), 1e-3)
assert(t[5].level_db == nil or t[5].level_db < -60, t[5].level_db)
-- Elsewhere two places hear partials in and against phase: squares of sum and difference make those of both, twice.
t = instrument(150, nil, { "neck", "bridge", both[3], { from = { "neck", "bridge" }, reversed = { false, true } } })
local function power(row)
    return 10 ^ (row.level_db / 10)
end
close((power(t[3]) + power(t[4])) / (2 * (power(t[1]) + power(t[2]))), 1, 1e-3)
assert(power(t[4]) > 0.05 * power(t[1]))

-- The peak is the network's own, in phase or out of it: two in parallel with pots, cable and input.
local controls = { volume = 250 * ll.kohm, tone_pot = 250 * ll.kohm, tone_cap = 22 * ll.nf, cable = 500 * ll.pf, input = 1e6 }
t = instrument(150, nil, both, { controls = controls })
local fields = { from = { coil, coil }, wiring = "parallel" }
for key, value in pairs(controls) do
    fields[key] = value
end
local peak = ll.network(fields):peak()[1]
close(t[4].peak_hz, peak.f_hz, 0.01)
close(t[4].rise_db, peak.rise_db, 1e-4)
close(t[5].peak_hz, peak.f_hz, 0.01)

-- Pots of their own: in parallel both pull at each other, and the neck's turned down takes the bridge with it.
local own = { volume = 500 * ll.kohm }
local down = { volume = 500 * ll.kohm, volume_turn = 0 }
local function with_pots(neck)
    return ll.instrument{ strings = string_g, positions = { "neck", "bridge", both[4] }, pickups = {
        { name = "neck", coil = coil, from_bridge = 150, shows = "N", meter = "positive", controls = neck },
        { name = "bridge", coil = coil, from_bridge = 60, shows = "N", meter = "positive", level = 0, controls = own } } }
end
assert(with_pots(own)[3].level_db > -6 and with_pots(own)[3].says == "hums")
assert(with_pots(down)[3].level_db == nil and with_pots(down)[3].says == "silent" and with_pots(down)[2].level_db == 0)

-- A described pickup stands where it stands: its level is that of its own output, from the same pluck, without the magnets' pull.
local rod = ll.rod{ diameter = 5, length = 16, at = { 0, 0, -8 }, material = ll.magnet{ remanence = 700, recoil = 1 }, north = "+z" }
local winding = ll.coil{ name = "only", turns = 7000, opening = { 6, 6 }, build = 4, height = 10, at = { 0, 0, -8 }, dcr = 6000,
    capacitance = 100 * ll.pf }
local p = ll.pickup{ name = "p", parts = { rod }, coils = { winding } }
local pluck = { position = 120, displacement = 0.05 }
t = ll.instrument{ strings = string_g, pluck = pluck, pickups = { { name = "one", pickup = p, from_bridge = 150 } }, positions = { "one", "one.only" },
    controls = controls }
local n = { from = p }
for key, value in pairs(controls) do
    n[key] = value
end
local sound = p:output{ strings = string_g:with{ from_bridge = 150 }, pluck = pluck, load = ll.network(n), partials = 1 }[1]
close(t[1].level_mv / sound.rms_mv, 1, 0.03)
close(t[2].level_mv, t[1].level_mv, 1e-9)
close(t[1].peak_hz, ll.network(n):peak()[1].f_hz, 0.01)

-- The coils of a pickup in series are the pickup: its level, its hum, and its peak by the coupling of the two.
local two = ll.pickup{ parts = { rod:moved(0, -9, 0), rod:moved(0, 9, 0):with{ north = "-z" } },
    coils = { winding:with{ name = "a", at = { 0, -9, -8 } }, winding:with{ name = "b", at = { 0, 9, -8 }, hand = "cw", turns = 6000 } } }
t = ll.instrument{ strings = string_g, pluck = pluck, controls = controls, pickups = { { name = "two", pickup = two, from_bridge = 150 } },
    positions = { "two", { from = { "two.a", "two.b" } }, { from = { { from = "two.b" }, "two.a" } } } }
for i = 2, 3 do
    close(t[i].level_mv / t[1].level_mv, 1, 0.01)
    close(t[i].hum_db, t[1].hum_db, 0.2)
end
close(t[2].peak_hz / t[1].peak_hz, 1, 0.02)

-- Slips, and what cures them.
local function refused(words, fields)
    local base = { strings = string_g, positions = { "neck" },
        pickups = { { name = "neck", coil = coil, from_bridge = 60, shows = "N", meter = "positive" } } }
    for key, value in pairs(fields) do
        base[key] = value
    end
    local ok, fault = pcall(ll.instrument, base)
    assert(not ok and tostring(fault):find(words, 1, true), tostring(fault))
end
local neck = { name = "neck", coil = coil, from_bridge = 60, shows = "N", meter = "positive" }
local function but(changes)
    local copy = {}
    for key, value in pairs(neck) do
        copy[key] = value
    end
    for key, value in pairs(changes) do
        copy[key] = value or nil
    end
    return copy
end
refused("there is no pickup 'nek'; did you mean 'neck'?", { positions = { "nek" } })
refused("was measured as a whole and has no coil 'screws'", { positions = { "neck.screws" } })
refused("'neck' is named twice", { positions = { { from = { "neck", "neck" } } } })
refused("'pickups' needs at least one", { pickups = {} })
refused("two pickups have this name", { pickups = { neck, neck } })
refused("give 'pickup' (described) or 'coil' (measured", { pickups = { but{ coil = false } } })
refused("give 'pickup' (described) or 'coil' (measured", { pickups = { but{ pickup = p } } })
refused("'shows' is missing", { pickups = { but{ shows = false } } })
refused("'meter' is missing", { pickups = { but{ meter = false } } })
refused("'level' has no other pickup", { pickups = { but{ level = 3 } } })
refused("'against' must name a pickup", { pickups = { neck, but{ name = "b", against = "c" } } })
refused("'volum' is not a field", { controls = { volum = 1e6 } })
refused("belongs to a position", { controls = { wiring = "series" } })
refused("'reversed' needs one item for each of 'from', 1, not 2", { positions = { { from = "neck", reversed = { true, false } } } })
refused("'from' must hold names of pickups", { positions = { { from = { 3 } } } })
refused("has no coil 'screw'; it has only", { pickups = { { name = "neck", pickup = p, from_bridge = 60 } }, positions = { "neck.screw" } })
refused("before it reaches the pickup", { pickups = { but{ from_bridge = 700 } } })
refused("is not on string", { pluck = { position = 700 } })
refused("kilohms", { pickups = { but{ from_bridge = 60 } }, controls = { volume = 250 } })
