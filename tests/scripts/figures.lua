-- Small figures that people rely on without looking twice: other units, ranges, rows, covers, and what is taken when nothing is
-- said.
local function close(actual, expected, tolerance, what)
    assert(math.abs(actual - expected) <= tolerance, string.format("%s: %.9g, expected %.9g", what, actual, expected))
end

-- The inch of 1959 is 25.4 mm; a tesla is ten thousand gauss.
close(ll.inch(1), 25.4, 1e-12, "an inch")
close(ll.thou(42), 1.0668, 1e-12, "42 thousandths of an inch")
close(ll.gauss(10000), 1000, 1e-9, "ten thousand gauss in millitesla")

-- Ranges meet their ends, whatever decimal steps round to; so many values to the decade.
local tenths = ll.range(0, 0.3, 0.1)
assert(#tenths == 4 and #ll.range(0, 1, 0.1) == 11 and #ll.range(5, 1, -2) == 3 and #ll.range(1, 4) == 4)
close(tenths[4], 0.3, 1e-12, "the end of a range")
local hertz = ll.log_range(20, 20000, 5)
assert(#hertz == 16 and hertz[1] == 20 and hertz[16] == 20000)
close(hertz[2] / hertz[1], 10 ^ 0.2, 1e-12, "a fifth of a decade")
assert(#ll.log_range(100, 1000) == 11)

-- A row's middle is where its part stands, bass side first.
local part = ll.rod{ diameter = 5, length = 17, at = { 1, 2, 3 }, material = "steel 1018" }
for _, count in ipairs{ 1, 2, 6 } do
    local row, sum = ll.row{ count = count, spacing = 10.2, part = part }, 0
    for i, one in ipairs(row) do
        sum = sum + one.at[1] / count
        assert(one.name == "pole " .. i and one.at[2] == 2 and one.at[3] == 3)
    end
    assert(#row == count)
    close(sum, 1, 1e-9, "the middle of a row")
end

local lengthwise = ll.row{ count = 3, spacing = 4, along = "y", part = part }
assert(lengthwise[1].at[1] == 1 and lengthwise[3].at[1] == 1)
close(lengthwise[3].at[2] - lengthwise[1].at[2], 8, 1e-9, "a row along the strings")

-- The plates of a cover are what lies between two boxes, without gaps and without cutting into each other.
local cover, volume = ll.cover{ size = { 70, 30, 15 }, at = { 1, 2, 3 }, thickness = 0.5, material = "brass" }, 0
for _, plate in ipairs(cover) do
    volume = volume + plate.size[1] * plate.size[2] * plate.size[3]
end
close(volume, 70 * 30 * 15 - 69 * 29 * 14.5, 1e-6, "metal of a cover")
ll.pickup{ parts = cover }

-- AWG 42: 0.0633 mm bare (ASTM B258), and 0.017241 ohm mm2/m at 20 degrees C (IEC 60028).
local wire = ll.awg(42):figures()[1]
close(wire.bare_mm, 0.0633, 5e-5, "AWG 42")
close(wire.per_m_ohm, 0.017241 / (math.pi / 4 * wire.bare_mm ^ 2), 1e-4, "ohm for a metre of AWG 42")

-- Equal temperament, A4 = 440 Hz (ISO 16); an octave at the twelfth fret.
local function string_of(note, more)
    local fields = { note = note, gauge = 0.3, x = 0, z = 3 }
    for key, value in pairs(more or {}) do
        fields[key] = value
    end
    return ll.string(fields)
end
close(string_of("A4"):frequency(), 440, 1e-9, "A4")
close(string_of("E2"):frequency(), 82.4069, 1e-4, "E2")
close(string_of("Bb3"):frequency(), 233.0819, 1e-4, "B flat 3")
close(string_of("A2", { fret = 12 }):frequency(), 220, 1e-9, "A2 at the twelfth fret")

-- Remanence at 60 degrees C: 40 K above that of the tables.
local ferrite = ll.materials():column("name")
for i, row in ipairs(ll.materials()) do
    if row.name == "ferrite C5" then
        close(row.at_60c_mt, 380 * (1 - 0.002 * 40), 1e-9, "ferrite at 60 degrees C") -- -0.2 % a degree, MMPA 0100-00
        ferrite = i
    end
end
assert(type(ferrite) == "number")

-- A magnet's curve is in kA/m and T: between its points it is met.
local curved = ll.magnet{ curve = { { -50, 0 }, { -40, 0.9 }, { 0, 1.2 } } }
close(curved:b(-40e3), 0.9, 1e-12, "a point of a magnet's curve")

-- What is said and what is taken when nothing is said come to the same.
local coil = ll.coil{ turns = 5000, opening = { 6, 6 }, build = 3, height = 10, at = { 0, 0, -7 }, wire = ll.awg(42) }
local magnet = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, -8.5 }, north = "+z",
    material = ll.magnet{ remanence = 1200, recoil = 1 } }
local p = ll.pickup{ parts = { magnet }, coils = { coil } }
close(p:hum()[3].even_mv, p:hum{ f = 50, field = 0.001 }[3].even_mv, 1e-12, "hum of 50 Hz")
close(p:hum{ f = 60 }[3].even_mv / p:hum()[3].even_mv, 1.2, 1e-9, "hum goes with the frequency")
local n = { from = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf }, volume = 250e3, input = 1e6 }
local function peak_with(field, value)
    local fields = { [field] = value }
    for key, other in pairs(n) do
        fields[key] = other
    end
    return ll.network(fields):peak()[1].f_hz
end
close(peak_with("cable_m", 5), peak_with("cable", 500 * ll.pf), 1e-6, "five metres of usual cable")

-- A gauss meter on a pole is held over its top.
close(p:poles{ standoff = 1 }[1].bz_mt, p:field{ { 0, 0, 1 } }[1].bz_mt, 1e-9, "1 mm over the pole")
close(p:poles()[1].bz_gauss, 10 * p:poles{ standoff = 0.5 }[1].bz_mt, 1e-9, "gauss over a pole")
local lower = ll.pickup{ parts = { magnet:moved(0, 0, -2) } }
close(lower:poles{ standoff = 1 }[1].bz_mt, p:field{ { 0, 0, 1 } }[1].bz_mt, 1e-9, "1 mm over a pole that stands lower")
local off = p:field{ { 3, 0, 1 }, { 0, 3, 1 } }
close(off[1].bx_mt, off[2].by_mt, 1e-9, "a round pole's field along x and along y")
close(off[1].by_mt, 0, 1e-9, "no field across")

-- Two pickups side by side: each coil's own share, and once more for both.
local z = ll.pickup{ coils = { coil }, lead = 0 }:winding()[1]
local side_by_side = { coil, coil:with{ at = { 60, 0, -7 }, capacitance = z.c_f } }
local two = ll.pickup{ coils = side_by_side, lead = 0 }:winding()[1]
close(two.c_f, z.c_f / 2, 1e-6 * z.c_f, "equal capacitances in series")
-- Their lead lies across both, and says what it was taken as; a measured capacitance has it.
close(ll.pickup{ coils = side_by_side, lead = 50 * ll.pf }:winding()[1].c_f - two.c_f, 50 * ll.pf, 1e-15, "a lead")
local usual = ll.pickup{ coils = side_by_side }:winding()
close(usual[1].c_f - two.c_f, 42 * ll.pf, 1e-15, "the usual lead")
assert(usual:notes()[3]:find("the usual one", 1, true), usual:notes()[3])
local measured = ll.pickup{ coils = { coil:with{ capacitance = 110 * ll.pf } } }:winding()[1]
close(measured.c_f, 110 * ll.pf, 1e-18, "measured across the leads")
-- Earthed poles see the start of a coil: nothing where that is the cold end, all of it where it is hot.
local poled = { parts = { ll.rod{ diameter = 4, length = 16, at = { 0, 0, -7 }, material = "steel 1018" } }, lead = 0 }
local function cold_or_hot(lead)
    poled.coils = { coil:with{ hot = lead } }
    return ll.pickup(poled):winding()[1].c_f - z.c_f
end
close(cold_or_hot("finish"), 0, 1e-15, "poles beside the cold end")
assert(cold_or_hot("start") > 1 * ll.pf and cold_or_hot("start") < 100 * ll.pf)
close(two.dcr_ohm, 2 * z.dcr_ohm, 1e-9 * z.dcr_ohm, "resistances in series")

-- The core of a wound string is 0.27 mm and 17 % of the gauge when nothing is said (common practice, no source).
local function wound(core)
    return p:sensitivity{ strings = ll.string{ note = "A2", gauge = 0.9, wound = true, wrap = "none", core = core, x = 0, z = 3 } }[1].vertical_mv
end
close(wound(nil) / wound(0.27 + 0.17 * 0.9), 1, 1e-9, "the usual core")

-- The other lead hot, the same winding: what moves shows the other sign.
local start = ll.pickup{ parts = { magnet }, coils = { coil:with{ hot = "start" } } }
close(start:microphony{ loose = 5 }[1].up_mv, -p:microphony{ loose = 5 }[1].up_mv, 1e-9, "loose turns, start hot")

-- Two letters swapped are one slip.
local fine, message = pcall(ll.coil, { trun = 5000 })
assert(not fine and string.find(message, "did you mean 'turn", 1, true), message)
fine, message = pcall(ll.coil, { hto = "start" })
assert(not fine and string.find(message, "did you mean 'hot'", 1, true), message)

-- Quotes within a cell of CSV are doubled (RFC 4180); exported figures have seven digits.
local t = ll.table{ columns = { "a", "b" }, rows = { { a = 'say "x"', b = 1.234567891 } } }
assert(t:as("csv") == 'a,b\r\n"say ""x""",1.234568\r\n', t:as("csv"))

-- Of what is solved no digit behind the seventh of the largest in its unit, nor behind a hundredth of the mesh error.
t = ll.table{ columns = { "f_mn", "g_mn", "x_mm" }, rows = { { f_mn = 1234.567891, g_mn = 0.000123456, x_mm = 1.2345678 } } }
assert(t:as("csv") == "f_mn,g_mn,x_mm\r\n1234.568,0.0001,1.234568\r\n", t:as("csv"))
local screw = ll.rod{ diameter = 5, length = 10, at = { 0, 0, -5 }, material = "steel 1010" }
local fields = ll.pickup{ parts = { screw, ll.rod{ diameter = 5, length = 4, at = { 0, 0, -12.1 }, material = "AlNiCo 5",
    north = "+z" } } }:field{ { 1, 2, 3 } }
local step = 10 ^ math.floor(math.log(fields[1].b_mt * tonumber(fields:as("json"):match('"mesh_error":([%d.e+-]+)')) / 100, 10))
for number in fields:as("json"):gmatch('"b[xyz]?_mt":([-%d.]+)') do
    assert(math.abs(number / step - math.floor(number / step + 0.5)) < 1e-6, number .. " beside " .. step)
end

-- Cells are finite on both sides.
for _, value in ipairs{ 1 / 0, -1 / 0, 0 / 0 } do
    assert(not pcall(t.add, t, { a = 1, b = value }))
end
