-- Figures that a bench can work out with pencil and paper, from other figures of the same program or from textbooks.
local function near(actual, expected, tolerance, what)
    assert(math.abs(actual - expected) <= tolerance, string.format("%s: %.8g, expected %.8g", what, actual, expected))
end

-- ---- shorted turns: a transformer with a closed secondary, w^2 M^2 / (R + j w L) (any textbook) ----

local coil = ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, 0 }, wire = ll.awg(42),
    capacitance = 100 * ll.pf }
local whole = ll.pickup{ coils = { coil } }:winding()
for _, turns in ipairs{ 50, 800 } do
    local q = turns / 8000
    local rows = ll.pickup{ coils = { coil:with{ shorted = { turns = turns } } } }:impedance{ f = { 100, 2000, 20000 } }
    for _, row in ipairs(rows) do
        local w, r, l, m = 2 * math.pi * row.f_hz, q * whole.dcr_ohm, q ^ 2 * whole.l_h, q * (1 - q) * whole.l_h
        local share = (w * m) ^ 2 / (r ^ 2 + (w * l) ^ 2)
        near(row.extra_ohm, share * r, 1e-5 * share * r, turns .. " turns shorted, resistance")
        near(row.l_h, (1 - q) ^ 2 * whole.l_h - share * l, 1e-5 * whole.l_h, turns .. " turns shorted, inductance")
    end
end

-- They hold the coil's EMF down as well, by 1 / (1 + j w L / R) of their own; what is left meets the coil's capacitance.
do
    local q = 800 / 8000
    local p = ll.pickup{ coils = { coil:with{ shorted = { turns = 800 } } } }
    local asked = { 200, 1000, 3000, 6000 }
    local rows, time = p:impedance{ f = asked }, q * whole.l_h / whole.dcr_ohm
    for k, answer in ipairs(ll.network{ from = p }:response{ f = asked }) do
        local w, c = 2 * math.pi * asked[k], 100e-12
        local real, imaginary = 1 - w ^ 2 * rows[k].l_h * c, w * rows[k].r_ohm * c
        near(answer.gain_db, -10 * math.log((1 + (w * time) ^ 2) * (real ^ 2 + imaginary ^ 2), 10), 0.02,
            "with turns shorted at " .. asked[k] .. " Hz")
    end
end

-- And so a string is heard duller with nothing connected, too: its second partial against its first.
do
    local magnet = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = ll.magnet{ remanence = 1200, recoil = 1 },
        north = "+z", pole = true }
    local function second(shorted)
        local p = ll.pickup{ parts = { magnet }, coils = { coil:with{ at = { 0, 0, -8 }, shorted = shorted } } }
        local heard = p:output{ strings = ll.string{ note = "E4", gauge = 0.254, x = 0, gap = 3, scale = 650 } }[1]
        return heard.partial_2_mv / heard.partial_1_mv
    end
    local time, w = 0.75 * whole.l_h / whole.dcr_ohm, 2 * math.pi * 329.63
    local expected = math.sqrt((1 + (w * time) ^ 2) / (1 + (2 * w * time) ^ 2))
    near(second{ turns = 6000 } / second(nil), expected, 0.002, "a string over shorted turns")
end

-- A diagnosis knows what they do to the bridge.
local short = ll.pickup{ coils = { coil:with{ shorted = { turns = 500 } } } }
local z = short:impedance{ f = 1000 }[1]
local d = ll.diagnose{ build = ll.pickup{ coils = { coil } },
    readings = { dcr = short:winding().dcr_ohm, inductance = { f = 1000, l = z.l_h, r = z.r_ohm } } }

local first = d.faults[1]
assert(first.fault == "coil 1 has shorted turns" and first.probability_percent > 80, first.fault)

-- ---- what a coil loses in metal, a network loses: 1 / (1 + j w C (R + j w L)) of the EMF is left on a cable ----

local steel = ll.steel{ mu_r = 100, conductivity = 5e6 }
local lossy = ll.pickup{ coils = { coil }, parts = { ll.rod{ diameter = 5, length = 16, at = { 0, 0, 0 }, material = steel } } }
local n = ll.network{ from = lossy, cable = 400 * ll.pf }
local asked = { 500, 3000, 6000, 8000, 12000 }
local rows = lossy:impedance{ f = asked }
for k, answer in ipairs(n:response{ f = asked }) do
    local w, c = 2 * math.pi * asked[k], 500e-12
    local real, imaginary = 1 - w ^ 2 * rows[k].l_h * c, w * rows[k].r_ohm * c
    near(answer.gain_db, -10 * math.log(real ^ 2 + imaginary ^ 2, 10), 0.1, "on a cable at " .. asked[k] .. " Hz")
end

-- ---- a string's tension is mass (2 L f)^2 (Mersenne), its stiffness aside, which adds less than 1 % ----

local magnet = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = ll.magnet{ remanence = 1200, recoil = 1 },
    north = "+z", pole = true }
local single = ll.pickup{ parts = { magnet }, coils = { coil:with{ at = { 0, 0, -8 } } } }
local function tension(fields)
    local all = { note = "E4", gauge = 0.254, x = 0, gap = 5, scale = 650 }
    for name, value in pairs(fields) do
        all[name] = value
    end
    return single:pull{ strings = ll.string(all) }[1].tension_n
end
local speed = 2 * 0.65 * 329.628
near(tension{ mass = 0.4 }, 0.4e-3 * speed ^ 2, 0.01 * 73.4, "tension of 0.4 g/m")
-- Steel of 7850 kg/m3 (any handbook).
near(tension{}, 7850 * math.pi / 4 * 0.254e-3 ^ 2 * speed ^ 2, 0.01 * 73, "tension of plain steel")

-- ---- a pull at one place shifts partial n by sin^2(n pi y / L) / n of the same (Rayleigh): near the bridge not the first beats
-- fastest. The pull is not at one place, but over a fifth of the fifth's half wave. ----

local near_bridge = ll.string{ note = "E4", gauge = 0.254, x = 0, gap = 3, scale = 650, from_bridge = 45 }
local function of_one(partial)
    return math.sin(partial * math.pi * 45 / 650) ^ 2 / partial
end
local fastest = 1
for partial = 1, 8 do
    fastest = of_one(partial) > of_one(fastest) and partial or fastest
    local row = single:pull{ strings = near_bridge, partials = partial }[1]
    assert(math.abs(row.partial - fastest) <= (partial > 5 and 1 or 0), "partial " .. row.partial .. " of " .. partial)
    near(row.fastest_hz / row.beat_hz, of_one(fastest) / of_one(1), 0.15 * of_one(fastest) / of_one(1), partial .. " partials")
end

-- ---- balance: a pole that goes up comes as much nearer to the underside of its string ----

local six = ll.pickup{ parts = { ll.row{ count = 2, spacing = 10.2, part = magnet } },
    coils = { ll.coil{ turns = 8000, opening = { 18, 6 }, build = 3, height = 11, at = { 0, 0, -8 }, wire = ll.awg(42) } } }
local set = { ll.string{ note = "D3", gauge = 0.66, wound = true, wrap = "none", x = -5.1, gap = 3 },
    ll.string{ note = "G3", gauge = 0.43, x = 5.1, gap = 3 } }
local moved = ll.balance{ build = six, strings = set, range = { -1.5, 1 }, equal = "velocity" }
assert(math.abs(moved[1].raise_mm) + math.abs(moved[2].raise_mm) > 0.2)
for _, row in ipairs(moved) do
    near(row.gap_mm, 3 - row.raise_mm, 1e-6, "gap of " .. row.string)
end

-- With hardly any way to go the softer string's pole stands at its upper end and the louder one's at its lower end, and both say so;
-- no pole comes nearer than the least gap.
local stuck = ll.balance{ build = six, strings = set, range = { -0.05, 0.05 }, equal = "velocity" }
assert(math.abs(stuck[1].raise_mm + stuck[2].raise_mm) < 1e-6 and math.abs(stuck[1].raise_mm) > 0.0499)
assert(stuck[1].limited_by == "the end of its range" and stuck[2].limited_by == "the end of its range")
local near_pole = ll.balance{ build = six, strings = set, range = { -0.05, 1 }, least_gap = 2.8, equal = "velocity", want = { 0, 6 } }
near(near_pole[2].gap_mm, 2.8, 1e-6, "the least gap")
near(near_pole[2].raise_mm, 0.2, 1e-6, "up to the least gap")
assert(near_pole[2].limited_by == "the least gap", near_pole[2].limited_by)

-- ---- fit: off_by is the reading less the value found, in standard deviations ----

local fit = ll.fit{ unknown = { { "turns", 5000, 9000 } }, measured = { dcr_ohm = 1400,
    wire_m = 1.02 * 1400 / whole.dcr_ohm * whole.wire_m },
    build = function(v)
        return ll.pickup{ coils = { coil:with{ turns = v.turns } } }
    end,
    read = function(p)
        local sheet = p:winding()[1]
        return { dcr_ohm = sheet.dcr_ohm, wire_m = sheet.wire_m }
    end }

local signs = 0
for k = 2, 3 do
    assert((fit[k].measured > fit[k].value) == (fit[k].off_by > 0), fit[k].name)
    signs = signs + (fit[k].off_by > 0 and 1 or -1)
end
assert(signs == 0, "one reading above, one below")
-- An unknown that the readings want beyond its range is told to stand at its end, whichever end; one within is not.
local function ends(least, most)
    return string.find(ll.fit{ unknown = { { "turns", least, most } }, measured = { wire_m = whole.wire_m },
        build = function(v)
            return ll.pickup{ coils = { coil:with{ turns = v.turns } } }
        end,
        read = function(p)
            return { wire_m = p:winding().wire_m }
        end }:as("text"), "stands at the end of its range", 1, true) ~= nil
end
assert(ends(5000, 7000) and ends(9000, 11000) and not ends(7000, 9000))

-- ---- a diagnosis shows readings as they were read ----

local read = { probe = 1 }
for i, row in ipairs(six:poles{ standoff = 1 }) do
    read[i] = row.bz_gauss
end
local shown = ll.diagnose{ build = six, readings = { gauss = read } }.readings
assert(#shown == 2 and shown[1].measured == string.format("%.0f G", read[1]), shown[1].measured)
print("by hand: fine")
