-- Three faults at once, one reading that is wrong, and strings near silence: what is sure is named, what does not fit is asked for again,
-- and a dead pole is a dead pole however little a meter shows.
local magnets = ll.row{ count = 6, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 },
    material = "AlNiCo 5", north = "-z" } }
local coil = ll.coil{ turns = 7900, wire = ll.awg(42), opening = { 58, 5.2 }, build = 3.5, height = 11, at = { 0, 0, -8 } }
local sound = ll.pickup{ parts = { magnets }, coils = { coil }, accuracy = 10 }
local dcr, gauss = sound:winding().dcr_ohm, {}
for i, row in ipairs(sound:poles{ standoff = 1 }) do
    gauss[i] = row.bz_gauss
end
local l = sound:impedance{ f = 1000 }[1].l_h
local function with(changes)
    local list = { table.unpack(gauss) }
    for i, factor in pairs(changes) do
        list[i] = factor * list[i]
    end
    return list
end

-- Wound with the next gauge, one magnet weak, one reversed; meters off by some per cent.
local d = ll.diagnose{ build = sound, readings = { dcr = 1.28 * dcr, wiggle = "steady", inductance = { f = 1000, l = 1.02 * l },
    gauss = with{ [2] = 0.45, [4] = -0.97, [6] = 1.03 } } }
local first = d.faults[1]
for _, text in ipairs{ "'pole 2' is weak or cracked", "'pole 4' is upside down", "wound with AWG 43, not 42" } do
    assert(string.find(first.fault, text, 1, true), first.fault)
end
assert(first.probability_percent > 50, first.probability_percent)
assert(string.find(d.faults:as("text"), "sure even so: coil 1 is wound with AWG 43", 1, true), d.faults:as("text"))

-- Sound but for one figure written down wrong: nothing is turned into a fault, the figure is asked for again.
d = ll.diagnose{ build = sound, readings = { dcr = dcr, inductance = { f = 1000, l = 1.6 * l }, gauss = gauss, hum = 0, output = 0 } }
assert(string.find(d.faults[1].fault, "sound", 1, true), d.faults[1].fault)
assert(string.find(d.readings:as("text"), "take it again, for it fits nothing that the others ask for: inductance", 1, true),
    d.readings:as("text"))
assert(d.next[1].take == "once more: inductance, 1000 Hz", d.next[1].take)

-- A dead bar under a blade: hardly anything or nothing is heard, whatever a meter makes of the rest.
local blade = ll.pickup{ accuracy = 10, parts = {
    ll.block{ name = "blade", pole = true, size = { 60, 2.5, 14 }, at = { 0, 0, -7 }, material = "steel 1010" },
    ll.block{ name = "bar", size = { 60, 12, 5 }, at = { 0, 0, -17 }, material = "ferrite C8", north = "+z" } },
    coils = { ll.coil{ turns = 9000, wire = ll.awg(43), opening = { 62, 3.6 }, build = 4, height = 9, at = { 0, 0, -7 } } } }
for _, silence in ipairs{ "nothing heard", -32, -40, -50, -70 } do
    local e = ll.diagnose{ build = blade, readings = { dcr = blade:winding().dcr_ohm, output = silence } }
    assert(e.faults[1].fault == "magnet 'bar' is missing or dead" and e.faults[1].probability_percent > 50,
        silence .. e.faults:as("text"))
end

-- Fed its own output a sound pickup is sound, and one with a magnet upside down is not.
local strings = {}
for i, s in ipairs{ { "E2", 1.17, true }, { "A2", 0.91, true }, { "D3", 0.66, true }, { "G3", 0.43 }, { "B3", 0.33 }, { "E4", 0.254 } } do
    strings[i] = ll.string{ note = s[1], gauge = s[2], wound = s[3], x = (i - 3.5) * 10.4, z = 2.5 + s[2] / 2 }
end
local function levels_of(p)
    local levels, loudest = {}, 0
    for i, row in ipairs(p:output{ strings = strings, partials = 1 }) do
        levels[i] = row.rms_mv
        loudest = math.max(loudest, row.rms_mv)
    end
    for i, mv in ipairs(levels) do
        levels[i] = 20 * math.log(mv / loudest, 10)
    end
    return levels
end
d = ll.diagnose{ build = sound, strings = strings, readings = { dcr = dcr, levels = levels_of(sound) } }
assert(string.find(d.faults[1].fault, "sound", 1, true), d.faults:as("text"))
for _, row in ipairs(d.readings) do
    assert(math.abs(row.off_by) < 0.5, row.reading)
end
local weak = { table.unpack(magnets) }
weak[3] = weak[3]:with{ charge = 0.1 }
d = ll.diagnose{ build = sound, strings = strings, readings = { dcr = dcr, levels = levels_of(sound:with{ parts = { weak } }) } }
assert(string.find(d.faults[1].fault, "'pole 3' is missing or dead", 1, true) or string.find(d.faults[1].fault, "'pole 3' is weak or cracked", 1, true),
    d.faults:as("text"))
