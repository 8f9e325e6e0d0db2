-- Faults of controls, wires and cable, told from an ohm meter at the jack, a peak at the amplifier and the ear. Ohms are computed here by
-- Ohm's law; peaks by the network, which is held against ngspice elsewhere (tests/reference/decks/c1_tone_down.cir, c8_ladder.cir).
local rods = ll.row{ count = 2, spacing = 10.4, part = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 },
    material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" } }
local coil = ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 16, 6 }, build = 4, height = 10, at = { 0, 0, -8.5 } }
local build = ll.pickup{ parts = { rods }, coils = { coil } }
local controls = { volume = 250 * ll.kohm, tone_pot = 250 * ll.kohm, tone_cap = 22 * ll.nf, cable = 500 * ll.pf, input = 1e6 }
local function circuit_of(changes)
    local fields = { from = build }
    for _, list in ipairs{ controls, changes or {} } do
        for key, value in pairs(list) do
            fields[key] = value
        end
    end
    return ll.network(fields)
end
local circuit, dcr = circuit_of(), build:winding().dcr_ohm

local function beside(...)
    local sum = 0
    for _, ohm in ipairs{ ... } do
        sum = sum + 1 / ohm
    end
    return 1 / sum
end

local function expect(text, readings, least, without)
    local d = ll.diagnose{ build = build, circuit = not without and circuit or nil, readings = readings }
    local first = d.faults[1]
    assert(string.find(first.fault, text, 1, true) and first.probability_percent > (least or 50),
        "expected " .. text .. ", found\n" .. d.faults:as("text"))
    return first, d
end

local function peaks(n)
    local up, down = n:peak()[1], n:with{ tone_turn = 0 }:peak()[1]
    return { f = up.f_hz or false, rise = up.rise_db or 0, tone_down = down.f_hz }
end

-- Sound: the coil beside its volume pot, with the tone down as with it up.
local sound_up = beside(dcr, 250e3)
expect("sound", { dcr = dcr, jack = { up = sound_up, tone_down = sound_up, cable = sound_up + 1 }, jack_peak = peaks(circuit),
    tone_knob = "darker", output = 0 }, 25)

-- A shorted capacitor makes the tone pot a load, and turned down a short.
expect("the tone capacitor is shorted", { dcr = dcr, jack = { up = beside(dcr, 250e3, 250e3), tone_down = 0.4 } }, 80)
expect("the tone capacitor is shorted", { tone_knob = "silence" }, 35)
expect("the tone capacitor is open or not connected", { dcr = dcr, tone_knob = "nothing" }, 25)

-- Cable and wires: silence with a sound coil, and where the ohms end.
local broken = expect("nothing gets from its leads", { dcr = dcr, output = "nothing heard", gauss = (function()
    local list = {}
    for i, row in ipairs(build:poles{ standoff = 1 }) do
        list[i] = row.bz_gauss
    end
    return list
end)() }, 50, true)
assert(string.find(broken.mend, "try another cable", 1, true))
expect("the cable or one of its plugs is broken", { jack = { up = sound_up, cable = "open" }, output = "nothing heard" }, 80)
expect("the cable or one of its plugs is shorted", { jack = { up = sound_up, cable = 0.6 }, output = "nothing heard" }, 80)
expect("from the controls to the jack", { dcr = dcr, jack = { up = "open" }, output = "nothing heard" }, 80)
expect("touches ground between the controls and the jack", { dcr = dcr, jack = { up = 0.5 }, output = "nothing heard" }, 80)
-- Behind a coil that is open a meter at the jack finds the volume pot.
expect("coil 1 is open", { jack = { up = 248e3 }, output = "nothing heard" }, 70)

-- Pots: 25 kohm in place of 250 load the coil, and its peak is gone.
local low = expect("the volume pot is of the wrong value", { dcr = dcr, jack = { up = beside(dcr, 25e3), tone_down = beside(dcr, 25e3) } }, 80)
local said = tonumber(string.match(low.fitted, "it has (%d+) kohm"))
assert(said and said > 20 and said < 30, low.fitted)
expect("pot is of the wrong value", { dcr = dcr, jack_peak = peaks(circuit_of{ volume = 25e3 }) }, 25)

-- A capacitor of 100 nF in place of 22: with the tone down it rings with the coil at 1 / (2 pi sqrt(L C)), losses left out, and that is
-- where the network has its peak within the coil's losses.
local wrong_cap = peaks(circuit_of{ tone_cap = 100e-9 })
local by_law = 1 / (2 * math.pi * math.sqrt(build:winding().l_h * 100.5e-9))
assert(wrong_cap.tone_down < by_law and wrong_cap.tone_down > 0.5 * by_law, wrong_cap.tone_down .. " " .. by_law)
local cap = expect("the tone capacitor is of the wrong value", { dcr = dcr, jack_peak = wrong_cap, tone_knob = "darker" }, 60)
said = tonumber(string.match(cap.fitted, "it has (%d+) nF"))
assert(said and said > 80 and said < 125, cap.fitted)

-- Slips.
local function refused(fields, text)
    fields.build = build
    local fine, message = pcall(ll.diagnose, fields)
    assert(not fine and string.find(message, text, 1, true), message)
end
refused({ circuit = circuit, readings = { jack = { ups = 7000 } } }, "did you mean 'up'?")
refused({ circuit = circuit, readings = { jack = { up = sound_up / 1000 } } }, "ll.kohm")
refused({ circuit = circuit, readings = { tone_knob = "dark" } }, '"darker", "nothing" or "silence"')
refused({ circuit = circuit, readings = { jack_peak = { f = 3.8 } } }, "Hz")
refused({ readings = { jack = { up = 6900 } } }, "'circuit'")
refused({ circuit = ll.network{ from = build, volume = 250e3, cable = 500e-12 }, readings = { jack = { tone_down = 5 } } }, "needs a 'tone_pot'")
refused({ circuit = ll.network{ from = { build, build } }, readings = {} }, "of the build alone")
