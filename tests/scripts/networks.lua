-- Networks: the contract's circuit of a measured coil, and a modelled pickup that plays into the same controls.
local function close(actual, expected, tolerance)
    assert(math.abs(actual - expected) <= tolerance, string.format("%.8g, expected %.8g", actual, expected))
end

-- One coil and two in series into 250 kohm, 500 pF, 1 Mohm: ngspice 39, to 1e-4.
local coil = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf }
local load = { from = coil, volume = 250e3, cable = 500 * ll.pf, input = 1e6 }
local one = ll.network(load)
local peak = one:peak()[1]
close(one:response{ f = 1 }[1].gain_db, -0.3198, 1e-4)
close(peak.f_hz, 3955.4, 0.4)
close(peak.rise_db, 7.550, 1e-3)
close(peak.gain_db - peak.low_db, peak.rise_db, 1e-12)
local two = one:with{ from = { coil, coil }, wiring = "series" }
close(two:peak()[1].low_db, 5.3924, 1e-4)
close(two:peak()[1].f_hz, 2826.0, 0.3)
close(two:peak()[1].rise_db, 4.716, 1e-3)

-- Rows for every frequency; the phase lags more and more.
local rows = one:response{ f = ll.log_range(20, 20000, 5) }
assert(#rows == 16 and rows[1].f_hz == 20 and rows[16].phase_deg < -150)

-- Cable by the metre; a tone pot at its end; unlike coils in parallel, one reversed (ngspice 39, 4774.0 Hz).
local metres = ll.network{ from = coil, volume = 250e3, cable_m = 5, input = 1e6 }
close(metres:peak()[1].f_hz, peak.f_hz, 1e-6)
-- Capacitance across the output is one and the same, be it cable, input, or a tone capacitor without a pot at the wiper.
local half = one:with{ volume_turn = 0.5, cable = 300 * ll.pf }
local more = half:with{ cable = 800 * ll.pf }:peak()[1].f_minus3_hz
close(half:with{ input_c = 500 * ll.pf }:peak()[1].f_minus3_hz, more, 1e-6)
close(half:with{ tone_cap = 500 * ll.pf, tone_at = "wiper" }:peak()[1].f_minus3_hz, more, 1e-6)
assert(math.abs(half:with{ tone_cap = 500 * ll.pf, tone_at = "input" }:peak()[1].f_minus3_hz - more) > 10)
local down = one:with{ tone_pot = 250e3, tone_turn = 0, tone_cap = 22 * ll.nf }
close(down:peak()[1].f_hz, 577.52, 0.5)
local unlike = one:with{ from = { coil, ll.lumped{ r = 6000, l = 4, c = 90 * ll.pf } }, wiring = "parallel",
    reversed = { false, true } }
close(unlike:peak()[1].f_hz, 4774.0, 0.5)

-- Treble bleed at half of an audio taper: ngspice 39, 4019.2 Hz, -7.3999 dB.
local bled = one:with{ volume_turn = 0.5, treble_bleed = { c = 680 * ll.pf, r = 150e3 } }
close(bled:peak()[1].f_hz, 4019.2, 0.5)
close(bled:peak()[1].gain_db, -7.3999, 1e-3)

-- Equal coils, one reversed, give nothing; so does a volume at zero. Nothing has no decibels.
local hollow = two:with{ reversed = { false, true } }
assert(hollow:peak()[1].f_hz == nil and hollow:response{ f = 1000 }[1].gain_db == nil)
assert(one:with{ volume_turn = 0 }:response{ f = 1000 }[1].gain_db == nil)

-- A coil given over frequency is the plain one when its figures stay the same.
local measured = ll.lumped{ measured = { { 100, 7500, 2.5 }, { 10000, 7500, 2.5 } }, c = 110 * ll.pf }
close(one:with{ from = measured }:peak()[1].f_hz, peak.f_hz, 1e-6)

-- Thermal noise of the loaded coil over 20 Hz to 20 kHz: 2.518923 uV (ngspice 39, 293 K).
local noise = one:noise{ level = 100 }[1]
close(noise.noise_mv, 2.518923e-3, 1e-7)
close(noise.over_noise_db, 20 * math.log(100 / noise.noise_mv, 10), 1e-9)

-- A pickup is one coil with the figures of its winding sheet.
local wound = ll.pickup{ coils = { ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, 0 },
    wire = ll.awg(42) } } }
local sheet = wound:winding()[1]
local alike = ll.lumped{ r = sheet.dcr_ohm, l = sheet.l_h, c = sheet.c_f }
close(one:with{ from = wound }:peak()[1].f_hz, one:with{ from = { alike } }:peak()[1].f_hz, 1e-6)

-- Networks within networks: what is joined in one piece and in two is the same, swapped leads of the inner one are those of its coils.
local odd = ll.lumped{ r = 6000, l = 4, c = 90 * ll.pf }
local flat = one:with{ from = { coil, odd }, reversed = { false, true } }
local pair = ll.network{ from = { coil, odd }, reversed = { true, false } }
for _, nested in ipairs{ one:with{ from = pair, reversed = true }, one:with{ from = { coil, ll.network{ from = odd } }, reversed = { false, true } } } do
    for _, f in ipairs{ 100, 3000, 8000 } do
        close(nested:response{ f = f }[1].gain_db, flat:response{ f = f }[1].gain_db, 1e-9)
        close(nested:response{ f = f }[1].phase_deg, flat:response{ f = f }[1].phase_deg, 1e-9)
    end
end
-- A bypassed coil is gone where nothing couples it, and dulls the other like a shorted turn where something does: L (1 - k^2) is left
-- at high frequencies (a transformer's leakage inductance; handbooks).
local split = one:with{ from = { coil, coil }, bypassed = { false, true } }
close(split:peak()[1].f_hz, peak.f_hz, 1e-6)
local leak = one:with{ from = { coil, coil }, bypassed = { false, true }, coupling = 0.5 }:peak()[1].f_hz
close(leak, one:with{ from = ll.lumped{ r = 7500 + 7500 * 0.5 ^ 2, l = 2.5 * (1 - 0.5 ^ 2), c = 110 * ll.pf } }:peak()[1].f_hz, 20)
-- Two volume pots in parallel, both full up, are one of half the resistance; one of them turned down takes the other coil with it.
local function own(turn)
    return ll.network{ from = coil, volume = 500e3, volume_turn = turn }
end
local two_pots = ll.network{ from = { own(1), own(1) }, wiring = "parallel", cable = 500 * ll.pf, input = 1e6 }
close(two_pots:peak()[1].f_hz, ll.network{ from = { coil, coil }, wiring = "parallel", volume = 250e3, cable = 500 * ll.pf, input = 1e6 }:peak()[1].f_hz, 1e-6)
assert(two_pots:with{ from = { own(1), own(0) } }:response{ f = 100 }[1].gain_db == nil)
