-- What do pots, capacitor and cable do to this pickup's peak?
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- The coil is given as a meter reads it: resistance, inductance, own capacitance. With figures of your own:
--
--   lodeloom run loaded-tone r=8100 l=4.4 c_pf=90 pot=500e3 cap_nf=22
--
-- With picture=cable.png and --out . it also draws gain and phase with cables of several lengths.

local coil = ll.lumped{ r = given.r or 7500, l = given.l or 2.5, c = (given.c_pf or 110) * ll.pf }
local pot = given.pot or 250e3
local cap = (given.cap_nf or 22) * ll.nf

local guitar = ll.network{ from = coil, volume = pot, tone_pot = pot, tone_cap = cap, cable_m = 5, input = 1e6 }

local cases = {
    { "the coil alone", ll.network{ from = coil } },
    { "on the bench: 1 Mohm, no cable", ll.network{ from = coil, input = 1e6 } },
    { "pots, no cable", guitar:with{ cable_m = 0 } },
    { "pots, 3 m of cable", guitar:with{ cable_m = 3 } },
    { "pots, 5 m of cable", guitar },
    { "pots, 9 m of cable", guitar:with{ cable_m = 9 } },
    { "same, pots of half the resistance", guitar:with{ volume = pot / 2, tone_pot = pot / 2 } },
    { "same, pots of twice the resistance", guitar:with{ volume = pot * 2, tone_pot = pot * 2 } },
    { "tone at half", guitar:with{ tone_turn = 0.5 } },
    { "tone at zero", guitar:with{ tone_turn = 0 } },
    { "tone at zero, a capacitor half as large", guitar:with{ tone_turn = 0, tone_cap = cap / 2 } },
    { "volume at half", guitar:with{ volume_turn = 0.5 } },
    { "volume at half, treble bleed", guitar:with{ volume_turn = 0.5,
        treble_bleed = { c = 680 * ll.pf, r = 150e3 } } },
}

local answer = ll.table{ title = "the peak under load, all pots full up unless said otherwise",
    columns = { "circuit", "f_hz", "rise_db", "q", "f_minus3_hz", "low_db" } }
for _, case in ipairs(cases) do
    local peak = case[2]:peak()[1]
    answer:add{ circuit = case[1], f_hz = peak.f_hz, rise_db = peak.rise_db, q = peak.q,
        f_minus3_hz = peak.f_minus3_hz, low_db = peak.low_db }
end
answer:note("f_hz and rise_db: the peak, and its height over the low notes; without them the sound only falls,"
    .. " with a negative rise it dips first")
answer:note("f_minus3_hz: above it more than 3 dB are lost against the low notes")
answer:note("low_db: the low notes against what the strings make in the coil")
answer:print()

if given.picture then
    local curves = ll.table{ title = "What the cable does", columns = { "circuit", "f_hz", "gain_db", "phase_deg" } }
    for i = 3, 6 do
        for _, row in ipairs(cases[i][2]:response{ f = ll.log_range(50, 20000, 40) }) do
            curves:add{ circuit = cases[i][1], f_hz = row.f_hz, gain_db = row.gain_db, phase_deg = row.phase_deg }
        end
    end
    curves:plot{ file = given.picture, x = "f_hz", by = "circuit" }
end
