-- bench_circuit.lua - what lies between a pickup's leads and the amplifier, and what can be wrong with it: controls, the wire to the
-- jack, the cable. What an ohm meter finds at the jack, and how much of the signal gets through, is a ladder of resistances
-- (engine/circuit/ladder.h); peaks are those of the network that the script describes.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local bench = core.bench
local format, huge = string.format, math.huge

local CONTACT_OHM = 0.3             -- of a short, and of a pot at its end
local BROKEN_OHM = 1e9              -- of a break; a meter shows "open"
local USUAL_INPUT_OHM = 1e6
local SHORTED_F, ABSENT_F = 1e-3, 1e-12 -- pass or stop all that a pickup gives
local GONE = 0.05                   -- share of a signal below which no peak is found

-- In the state of a pickup: pots and capacitor over what they should be, and leaks and breaks of the two ways.
function bench.sound_circuit()
    return { volume = 1, tone = 1, cap = 1, wire = { across = huge, series = 0 }, cable = { across = huge, series = 0 } }
end

function bench.is_broken(state)
    return state.circuit.wire.series > 0 or state.circuit.cable.series > 0
end

-- ---- ohms ----

-- What controls, all up or with the tone down, have to ground.
local function controls_ohm(job, state, tone_down)
    local now, described = state.circuit, job.circuit or {}
    local volume = described.volume and described.volume * now.volume or huge
    local tone = not tone_down and described.tone_pot and described.tone_pot * now.tone or CONTACT_OHM
    return now.cap_shorted and 1 / (1 / volume + 1 / tone) or volume
end

local function ladder(job, state, across, series)
    return core.ladder(bench.dcr(job, state, job.settings.temperature), across, series)
end

-- An ohm meter at the jack, at the end of the cable, or at the jack with the tone down.
function bench.jack_ohm(job, state, tone_down, through_cable)
    local wire, cable = state.circuit.wire, state.circuit.cable
    local across, series = { controls_ohm(job, state, tone_down), wire.across }, { wire.series, 0 }
    if through_cable then
        across, series = { across[1], wire.across, cable.across }, { wire.series, cable.series, 0 }
    end
    return math.min(bench.OPEN_OHM, (ladder(job, state, across, series)))
end

-- The share of the pickup's voltage that gets to the amplifier, of low notes.
function bench.gets_through(job, state)
    local wire, cable, input = state.circuit.wire, state.circuit.cable, job.circuit and job.circuit.input or USUAL_INPUT_OHM
    local _, share = ladder(job, state, { controls_ohm(job, state), wire.across, cable.across, input },
        { wire.series, cable.series, 0, 0 })
    return share
end

-- ---- peaks ----

-- The circuit as it is now, the tone up or down, played by a coil.
local function network(job, now, coil, turn)
    local described = job.circuit
    return described:with({ from = coil, volume_turn = described.volume and 1, tone_turn = described.tone_pot and turn,
        volume = described.volume and described.volume * now.volume, tone_pot = described.tone_pot and described.tone_pot * now.tone,
        tone_cap = described.tone_cap and (now.cap_shorted and SHORTED_F or now.cap_open and ABSENT_F or described.tone_cap * now.cap) })
end

local LOW_HZ, HIGH_HZ, SILENCE_DB, DARK_DB = 150, 3000, 15, 6

-- 1 darker, 0 nothing, -1 silence. What of it an ear calls so is common practice, no source.
local function turned_down(up, down)
    local at = { f = { LOW_HZ, HIGH_HZ } }
    local before, after = up:response(at), down:response(at)
    if before[1].gain_db - after[1].gain_db > SILENCE_DB then
        return -1
    end
    return math.max(0, math.min(1, (before[2].gain_db - after[2].gain_db) / DARK_DB))
end

-- All that one network tells: peak_up, peak_down { f_hz, rise_db } and knob.
local function look(job, now, coil)
    local up, down = network(job, now, coil, 1), network(job, now, coil, 0)
    return { peak_up = up:peak()[1], peak_down = down:peak()[1], knob = turned_down(up, down) }
end

-- What the circuit does in this state; nothing where no coil rings or too little gets through. Most faults leave coil and controls as
-- they are: what was found serves again.
function bench.heard_through(job, state)
    local now = state.circuit
    local rows = bench.gets_through(job, state) > GONE and bench.coil_rows(job, state)
    if not rows then
        return nil
    end
    local key = format("%g %g %g %s %s %g", now.volume, now.tone, now.cap, core.tostring(now.cap_shorted), core.tostring(now.cap_open),
        state.capacitance)
    for _, row in ipairs(rows) do
        key = key .. format(" %.9g %.9g", row[2], row[3])
    end
    job.heard_through[key] = job.heard_through[key] or look(job, now, bench.lumped(job, state, rows))
    return job.heard_through[key]
end

-- ---- faults ----

local function kilohms(job, key)
    return function(size)
        local ohm = size * job.circuit[key]
        return ohm < 1e6 and format("%.0f kohm", ohm / 1e3) or format("%.1f Mohm", ohm / 1e6)
    end
end

local function farads(job)
    return function(size)
        local nf = size * job.circuit.tone_cap * 1e9
        return nf < 1 and format("%.0f pF", nf * 1e3) or nf < 999.5 and format("%.0f nF", nf) or format("%.1f uF", nf / 1e3)
    end
end

-- Pots of 20 % and capacitors of 20 % are usual in the trade; half of that is taken as one standard deviation. Common practice, no source.
local PART_SPREAD = 0.1

local function of_value(add, kind, field, says, show)
    add(kind, { says = says .. " is of the wrong value", mend = "measure it unsoldered, and fit the right one", what = "it has",
        range = { 0.04, 20 }, logarithmic = true, sound = 1, spread = PART_SPREAD, show = show, tolerance = says,
        target = says, state = function(state, size)
            state.circuit[field] = state.circuit[field] * size
        end })
end

local function of_capacitor(add, job)
    of_value(add, "capacitor", "cap", "the tone capacitor", farads(job))
    add("capacitor", { says = "the tone capacitor is shorted", mend = "fit a new one", target = "the tone capacitor",
        state = function(state)
            state.circuit.cap_shorted = true
        end })
    add("capacitor", { says = "the tone capacitor is open or not connected", mend = "solder it, else fit a new one",
        target = "the tone capacitor", state = function(state)
            state.circuit.cap_open = true
        end })
end

-- Breaks and shorts of the two ways that the signal goes behind its controls.
local ways = { { field = "wire", broken = "nothing gets from the controls to the jack: a broken wire, or a bad switch or jack",
    shorted = "the hot wire touches ground between the controls and the jack",
    mend = "follow it with the ohm meter from the leads to the jack" },
    { field = "cable", broken = "the cable or one of its plugs is broken", shorted = "the cable or one of its plugs is shorted",
        mend = "try another cable; mend the plug" } }

local function set_way(field, key, ohm)
    return function(state)
        state.circuit[field][key] = ohm
    end
end

-- Of a circuit that is described; of any other only that nothing comes out of it.
function bench.of_circuit(add, job)
    if not job.circuit then
        return add("silent", { says = "nothing gets from its leads to the amplifier: a broken or shorted cable, jack or switch",
            mend = "try another cable; then follow the signal with the ohm meter", state = set_way("cable", "series", BROKEN_OHM) })
    end
    for _, way in ipairs(ways) do
        add("path", { says = way.broken, mend = way.mend, target = way.field, state = set_way(way.field, "series", BROKEN_OHM) })
        add("path", { says = way.shorted, mend = way.mend, target = way.field, state = set_way(way.field, "across", CONTACT_OHM) })
    end
    if job.circuit.volume then
        of_value(add, "pot", "volume", "the volume pot", kilohms(job, "volume"))
    end
    if job.circuit.tone_pot then
        of_value(add, "pot", "tone", "the tone pot", kilohms(job, "tone_pot"))
    end
    if job.circuit.tone_cap then
        of_capacitor(add, job)
    end
end
