-- Typical builds fall into the bands of the bench: resistance, inductance and loaded peak of a single coil and of two coils in
-- one (from memory: common bench experience, no single source). Inductance falls with the frequency by a share that depends on the
-- build, by up to 70 % (M. Zollner, GITEC 2020).
local function within(value, low, high, what)
    assert(value >= low and value <= high, string.format("%s %.6g is not within %g to %g", what, value, low, high))
end
local function loaded(p, pot)
    return ll.network{ from = p, volume = pot, tone_pot = pot, tone_cap = 22 * ll.nf, cable = 500 * ll.pf, input = 1e6 }:peak()
end

-- Six rods of AlNiCo, 7900 turns of AWG 42.
local alnico = ll.magnet{ remanence = 1200, recoil = 4, conductivity = 2.1e6 }
local single = ll.pickup{ accuracy = 2,
    parts = { ll.row{ count = 6, spacing = 10.2,
        part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = alnico, north = "+z" } } },
    coils = { ll.coil{ turns = 7900, opening = { 56.5, 5.5 }, build = 3.6, height = 11, at = { 0, 0, -8 }, wire = ll.awg(42) } } }
local sheet, z = single:winding(), single:impedance{ f = { 1000, 20000 } }
within(sheet.dcr_ohm, 5500, 7500, "single: ohm")
within(sheet.l_h, 2.1, 3.0, "single: H")
within(sheet.c_f, 70e-12, 130e-12, "single: F")
within(sheet.resonance_hz, 7000, 12000, "single: own resonance, Hz")
within(z[2].l_h / z[1].l_h, 0.75, 1, "single: share of L left at 20 kHz")
within(loaded(single, 250e3).f_hz, 3000, 5000, "single: loaded peak, Hz")

-- Screws and slugs of steel over a ferrite bar, two coils of 5000 turns wound against each other.
local steel = ll.steel{ mu_r = 250, conductivity = 5.8e6 }
local function coil(y, hot)
    return ll.coil{ turns = 5000, opening = { 57, 5.4 }, build = 3.4, height = 6.5, at = { 0, y, -5.5 }, hot = hot, wire = ll.awg(42) }
end
local two = ll.pickup{ accuracy = 2,
    parts = {
        ll.row{ count = 6, spacing = 10.2, part = ll.screw{ thread = 3.5, length = 20, head = { diameter = 5, height = 2 },
            top = 1, at = { 0, -9 }, material = steel } },
        ll.row{ count = 6, spacing = 10.2, name = "slug",
            part = ll.rod{ diameter = 4.8, length = 13, at = { 0, 9, -6.5 }, material = steel } },
        ll.block{ size = { 62, 12.7, 3.2 }, at = { 0, 0, -14.7 }, material = "ferrite C5", north = "+y" },
    },
    coils = { coil(-9), coil(9, "start") } }
local wide, hum = two:impedance{ f = { 100, 20000 } }, two:hum()
within(two:winding().dcr_ohm, 7000, 9000, "two coils: ohm")
within(wide[1].l_h, 4, 5.2, "two coils: H")
within(wide[2].l_h / wide[1].l_h, 0.3, 0.9, "two coils: share of L left at 20 kHz")
within(loaded(two, 500e3).f_hz, 2000, 3500, "two coils: loaded peak, Hz")
within(hum[3].even_db, -60, -10, "two coils: hum that they cancel, dB")
