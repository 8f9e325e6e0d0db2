-- Eddy currents from scripts: a conducting core against finite elements, a ring's and a short's damping, a cover.
local function near(actual, expected, share)
    assert(math.abs(actual / expected - 1) <= share, string.format("%.8g, expected %.8g", actual, expected))
end

-- FreeFEM, axisymmetric: 1 kHz 1.02998 H, 760.4 ohm; 10 kHz 0.774091 H, 12052 ohm.
local steel = ll.steel{ mu_r = 100, conductivity = 5e6 }
local coil = ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, 0 }, dcr = 1500,
    capacitance = 100 * ll.pf }
local function with(core, ...)
    return ll.pickup{ parts = { ll.rod{ diameter = 5, length = 16, at = { 0, 0, 0 }, material = core }, ... },
        coils = { coil } }
end
local lossy = with(steel)
local z = lossy:impedance{ f = { 1000, 10000 } }
near(z[1].l_h, 1.02998, 0.01)
near(z[1].extra_ohm, 760.4, 0.02)
near(z[2].l_h, 0.774091, 0.01)
near(z[2].extra_ohm, 12052, 0.02)
near(z[2].r_ohm - z[2].extra_ohm, 1500, 1e-6)

-- Where the inductance was measured, what the currents change of it is as much larger or smaller.
local static = lossy:winding().l_h
local scaled = ll.pickup{ parts = { ll.rod{ diameter = 5, length = 16, at = { 0, 0, 0 }, material = steel } },
    coils = { coil:with{ inductance = 1.2 * static } } }:impedance{ f = { 1000, 10000 } }
for k = 1, 2 do
    near(scaled[k].extra_ohm, 1.2 * z[k].extra_ohm, 1e-6)
    near(scaled[k].l_h, 1.2 * z[k].l_h, 1e-6)
end

-- Without conductivity nothing happens.
local clean = with(ll.steel{ mu_r = 100 })
for _, row in ipairs(clean:impedance{ f = { 1000, 10000 } }) do
    assert(row.extra_ohm == 0)
end

-- A network hears it: the peak is lower and further up. A closed copper ring damps more.
local into = { cable = 500 * ll.pf, input = 1e6 }
local function peak(p)
    return ll.network{ from = p, cable = into.cable, input = into.input }:peak()[1]
end
local ring = ll.ring{ outer = 22, inner = 18, length = 4, at = { 0, 0, 0 }, material = "copper" }
local damped = peak(lossy)
assert(damped.rise_db < peak(clean).rise_db - 6 and damped.f_hz > peak(clean).f_hz)
local ringed = peak(with(steel, ring))
assert(ringed.rise_db < damped.rise_db - 0.5 and ringed.f_hz > 1.2 * damped.f_hz)

-- Ten turns shorted: (w M)^2 / R of a secondary of 10 turns, M = 10 / 8000 L, R = 10 / 8000 of the whole.
local short = ll.pickup{ coils = { coil:with{ shorted = { turns = 10 } } } }:impedance{ f = { 100, 1000 } }
local air = ll.pickup{ coils = { coil } }:winding().l_h
near(short[1].extra_ohm, (2 * math.pi * 100 * 10 / 8000 * air * 7990 / 8000) ^ 2 / (1500 * 10 / 7990), 1e-3)
near(short[2].extra_ohm / short[1].extra_ohm, 100, 1e-3)

-- A cover dulls a string, the more the higher, and a better conductor more; the phase lags.
local string = ll.string{ note = "D3", gauge = 0.66, x = 0, gap = 4 }
local function covered(material)
    local magnet = ll.rod{ diameter = 5, length = 16, at = { 0, 0, 0 }, material = ll.magnet{ remanence = 1200, recoil = 1 },
        north = "+z" }
    return ll.pickup{ coils = { coil }, parts = { magnet, ll.cover{ size = { 30, 30, 24 }, at = { 0, 0, -2 }, thickness = 0.4,
        material = material } } }:transfer{ strings = string, f = { 200, 2000, 10000 } }
end
local brass, silver = covered("brass"), covered("nickel silver")
assert(math.abs(silver[1].gain_db) < 0.05)
for k = 2, 3 do
    assert(brass[k].gain_db < silver[k].gain_db and silver[k].gain_db < 0)
    assert(brass[k].gain_db < brass[k - 1].gain_db and brass[k].phase_deg < 0)
end
