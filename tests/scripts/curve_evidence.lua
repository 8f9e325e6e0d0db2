-- A curve of impedance, as a sound card gives it, tells shorted turns and another cover apart from a sound pickup. Curves are made here
-- from resistance and inductance along the frequency with the own capacitance across them, Z / (1 + j w C Z), and 0.3 % of scatter.
local function cover(material)
    return ll.plate{ name = "cover", size = { 70, 16, 0.5 }, at = { 0, 0, 0.75 }, material = material }
end
local rods = ll.row{ count = 6, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, north = "+z",
    material = ll.magnet{ remanence = 1200, recoil = 1 } } }
local coil = ll.coil{ turns = 7900, wire = ll.awg(42), opening = { 58, 5.2 }, build = 3.5, height = 11, at = { 0, 0, -8 } }
local function pickup(material)
    return ll.pickup{ parts = { rods, cover(material) }, coils = { coil }, accuracy = 10 }
end
local sound, frequencies = pickup("nickel silver"), ll.log_range(30, 12000, 8)
local own_c = sound:winding()[1].c_f

local function points(rows)
    local t = ll.table{ columns = { "f_hz", "r_ohm", "l_h" } }
    for i, row in ipairs(rows) do
        local w, scatter = 2 * math.pi * row.f_hz, 1 + 0.003 * math.sin(7.1 * i)
        local a, b = row.r_ohm, w * row.l_h
        local re, im = 1 - w * own_c * b, w * own_c * a
        local square = re * re + im * im
        t:add{ f_hz = row.f_hz, r_ohm = scatter * (a * re + b * im) / square, l_h = scatter * (b * re - a * im) / square / w }
    end
    return t
end

local function handed_of(rows)
    local _, _, handed = ll.find_coil{ points = points(rows), cable = 0 }
    return handed.readings
end

local function expect(text, rows, least)
    local readings = handed_of(rows)
    assert(#readings.inductance == 3 and readings.inductance[3].f == 5000)
    local d = ll.diagnose{ build = sound, readings = readings }
    assert(string.find(d.faults[1].fault, text, 1, true) and d.faults[1].probability_percent > least, text .. d.faults:as("text"))
    return d
end
expect("sound", sound:impedance{ f = frequencies }, 20)
expect("the cover is of brass, not of nickel silver", pickup("brass"):impedance{ f = frequencies }, 40)
expect("the cover is of copper, not of nickel silver", pickup("copper"):impedance{ f = frequencies }, 70)

-- Turns s of all shorted are a transformer's closed secondary (F. E. Terman, Radio Engineers' Handbook (1943), section 3, from memory):
-- of the coil (1 - s) are left, and w^2 M^2 / (r + j w L) comes on top, with M^2 = k^2 (1 - s)^2 s^2 L^2. Where in the coil they lie
-- nobody knows: k is not the diagnosis' own 0.85.
local function shorted(s, k)
    local dcr, list = sound:winding()[1].dcr_ohm, {}
    for i, row in ipairs(sound:impedance{ f = frequencies }) do
        local w, l = 2 * math.pi * row.f_hz, row.l_h
        local loop_r, loop_x, m = dcr * s, w * l * s ^ 2, k * (1 - s) * s * l
        local square = loop_r ^ 2 + loop_x ^ 2
        list[i] = { f_hz = row.f_hz, r_ohm = dcr * (1 - s) + (row.r_ohm - dcr) * (1 - s) ^ 2 + w ^ 2 * m ^ 2 * loop_r / square,
            l_h = l * (1 - s) ^ 2 - w * m ^ 2 * loop_x / square }
    end
    return list
end
expect("coil 1 has shorted turns", shorted(0.02, 0.8), 60)
expect("coil 1 has shorted turns", shorted(0.05, 0.9), 60)
