-- Windings: what was measured wins, coils add in series, winding direction and hot lead carry the sign.
local function close(actual, expected, fraction)
    assert(math.abs(actual - expected) <= fraction * math.abs(expected),
        string.format("%.6g, expected %.6g", actual, expected))
end

-- A round coil of 8000 turns, radius 3 to 8 mm, 10 mm high: 0.346662 H by axisymmetric finite elements (FreeFEM
-- 4.11, converged to 5e-5).
local coil = ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, 0 },
    wire = ll.awg(42) }
local air = ll.pickup{ coils = { coil } }:winding()[1]
close(air.l_h, 0.346662, 2e-4)
-- The mean turn has the radius 5.5 mm; AWG 42 has 5.4715 ohm/m (IEC 60028 copper on the diameter of ASTM B258), within
-- the 2 % by which tables round its diameter.
close(air.wire_m, 8000 * 2 * math.pi * 5.5e-3, 1e-9)
close(air.dcr_ohm, air.wire_m * 5.4715, 0.03)
close(air.resonance_hz, 1 / (2 * math.pi * math.sqrt(air.l_h * air.c_f)), 1e-9)
assert(air.dcr_from == "computed")

local measured = ll.pickup{ coils = { coil:with{ dcr = 1700, inductance = 0.4, capacitance = 90 * ll.pf } } }
local row = measured:winding()[1]
assert(row.dcr_ohm == 1700 and row.l_h == 0.4 and math.abs(row.c_f - 90e-12) < 1e-20 and row.l_from == "measured")

-- Far apart two equal coils in series have twice of all; wound against each other the mutual part turns over.
local far = coil:with{ at = { 500, 0, 0 } }
close(ll.pickup{ coils = { coil, far } }:winding()[1].l_h, 2 * air.l_h, 1e-3)
local beside = coil:with{ at = { 0, 0, 10.1 } }
local aiding = ll.pickup{ coils = { coil, beside } }:winding()[1].l_h
local opposing = ll.pickup{ coils = { coil, beside:with{ hand = "cw" } } }:winding()[1].l_h
local again = ll.pickup{ coils = { coil, beside:with{ hand = "cw", hot = "start" } } }:winding()[1].l_h
close((aiding + opposing) / 2, 2 * air.l_h, 1e-6)
close(again, aiding, 1e-9)
assert(aiding > opposing)

-- A winding in two halves, one on the other, is the whole winding: its inductance, half by half and both mutual parts.
local half = coil:with{ turns = 4000, height = 5, at = { 0, 0, 2.5 } }
close(ll.pickup{ coils = { half, half:with{ at = { 0, 0, -2.5 } } } }:winding()[1].l_h, air.l_h, 1e-4)

local z = ll.pickup{ coils = { coil } }:impedance{ f = { 100, 1000 } }
assert(#z == 2 and z[2].f_hz == 1000 and z[1].r_ohm == air.dcr_ohm)
close(z[1].l_h, air.l_h, 1e-12)
