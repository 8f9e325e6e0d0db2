-- recording.lua - what a recording tells as a whole, and the impedance of a pickup that the test signal was played into.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local abs, format, log, max, min, pi, sqrt = math.abs, string.format, math.log, math.max, math.min, math.pi, math.sqrt
local integer = core.integer

local new_channels = core.declares("recording", "channels", {
    { "channel", "", "none", "number of the channel, 1 for the left one" },
    { "peak_db", "dB", "counted", "its highest sample, against what the file can hold" },
    { "rms_db", "dB", "counted", "its root mean square, likewise" },
    { "clipped", "", "counted", "samples that stand at the end of the scale" },
})
local new_impedance = core.declares("recording", "measured_impedance", {
    { "f_hz", "Hz", "none", "frequency" },
    { "r_ohm", "ohm", "model", "real part of the impedance" },
    { "l_h", "H", "model", "imaginary part over the angular frequency" },
    { "z_ohm", "ohm", "model", "size of the impedance" },
    { "phase_deg", "degrees", "model", "its phase" },
    { "sd_ohm", "ohm", "model", "standard deviation of the size, by noise and scatter" },
    { "coherence", "", "model", "share of what was recorded that the signal explains, 1 for all" },
})

local QUIET, LIKE, COHERENT, FAST = 0.02, 0.8, 0.99, 400e-6 -- peak; likeness; coherence; drift that no sound card has
local SPOILT = 0.03 -- deviation of a point, of |Z|, at which a grid of our own leaves it out
local NEGATIVE = 0.25 -- share of points
local LEAST_QUIET_S, HUM_LINES = 0.6, 3

local methods = core.methods.recording

local function decibels(ratio)
    return 20 * log(max(ratio, 1e-10), 10)
end
core.decibels = decibels

local function name_of(recording)
    return "'" .. (recording.name or recording.file) .. "'"
end
core.name_of_recording = name_of

-- Under the table: what would spoil a reading of this channel.
function core.note_channel(t, recording, channel)
    local level = core.recording_levels(recording)[channel]
    if not level then
        core.fail("the recording " .. name_of(recording) .. " has no channel " .. integer(channel))
    elseif level.clipped > 0 then
        t:note(format("WARNING: channel %d of %s clips in %d samples: turn the recorder down and record it again", channel,
            name_of(recording), level.clipped))
    elseif level.peak < QUIET then
        t:note(format("WARNING: channel %d of %s peaks at %.0f dB: turn the recorder up and record it again", channel,
            name_of(recording), decibels(level.peak)))
    end
end

-- recording:channels(): level of each channel.
function methods.channels(recording)
    local t = new_channels{ title = "channels of " .. name_of(recording) }
    if core.placeholder() then
        return t:add{ channel = 1, peak_db = -12, rms_db = -24, clipped = 0 }
    end
    local levels = core.recording_levels(recording)
    for c, level in ipairs(levels) do
        t:add{ channel = integer(c), peak_db = decibels(level.peak), rms_db = decibels(level.rms), clipped = integer(level.clipped) }
    end
    for c in ipairs(levels) do
        core.note_channel(t, recording, c)
    end
    return t:note(format("%.1f s, %d samples a second; dB of full scale; clipped: samples that stand at the top", levels.seconds,
        levels.rate_hz))
end

-- ---- impedance ----

-- Hum in the rests between sweeps, of whichever mains is stronger.
local function note_hum(t, recording, channel)
    local quiet = core.plucks(recording, channel).quiet
    local most, at = 0, nil
    for _, mains in ipairs{ 50, 60 } do
        if quiet.lasts_s >= LEAST_QUIET_S then
            local found = core.hum_lines(recording, channel, quiet.starts_s, min(quiet.lasts_s, 3), mains, HUM_LINES)
            for _, line in ipairs(found) do
                if line.heard and line.rms > most then
                    most, at = line.rms, line.f_hz
                end
            end
        end
    end
    if at then
        t:note(format("hum in %s: %.0f dB of full scale at %.1f Hz; it is left out of the ratio", name_of(recording), decibels(most), at))
    end
end

local function ratio_of(t, recording, given, f)
    local rows = core.transfer(recording, given.channel, given.reference, f)
    core.note_channel(t, recording, given.channel)
    if given.reference then
        core.note_channel(t, recording, given.reference)
    end
    if rows.likeness < LIKE then
        t:note("WARNING: the reference in " .. name_of(recording) .. " is not like the sweep: switch off equaliser, automatic "
            .. "level and noise gate, and record as WAV or FLAC")
    end
    if abs(rows.drift) > FAST then
        t:note(format("WARNING: the clocks in %s differ by %.0f ppm, more than sound cards do", name_of(recording), 1e6 * rows.drift))
    end
    return rows
end

-- What the input beside the pickup takes, from the run with the known resistor.
local function input_of(t, given, f, alike)
    if not given.known then
        t:note("no run with a known resistor in the pickup's place: the input and its lead are counted as part of the pickup")
        return 0, 0
    elseif not given.known_ohm then
        core.fail("measured_impedance: 'known_ohm' is missing: the ohms of the resistor in the pickup's place")
    end
    local input = core.bridge_input(given.resistor, given.known_ohm, ratio_of(t, given.known, given, f), alike)
    t:note(format("taken off: an input of %.3g kohm (give or take %.1g %%) beside %.0f pF (give or take %.1g pF)",
        1e-3 / max(input.conductance_s, 1e-12), 100 * 2 * input.conductance_sd / max(abs(input.conductance_s), 1e-12),
        1e12 * input.capacitance_f, 2e12 * input.capacitance_sd))
    return input.conductance_s, input.capacitance_f
end

-- One row: |Z| with its phase, and as a coil in series.
local function row_of(z, coherence)
    local f, re, im, sd = z[1], z[2], z[3], z[4]
    return { f_hz = f, r_ohm = re, l_h = im / (2 * pi * f), z_ohm = sqrt(re * re + im * im), phase_deg = math.deg(math.atan(im, re)),
        sd_ohm = sd, coherence = coherence }
end

local function note_scatter(t)
    local worst, at, poor, shares = 0, 0, 0, {}
    for i, row in ipairs(t) do
        shares[i] = row.sd_ohm / row.z_ohm
        if shares[i] > worst then
            worst, at = shares[i], row.f_hz
        end
        poor = poor + (row.coherence < COHERENT and 1 or 0)
    end
    table.sort(shares)
    t:note(format("sd_ohm: standard deviation of both parts, from noise and from what the sweeps differ by: %.2g %% of |Z| as a rule, "
        .. "%.2g %% at %.0f Hz", 100 * shares[#shares // 2 + 1], 100 * worst, at))
    if poor > 0 then
        t:note(format("WARNING: noise, hum or distortion spoils %d of %d frequencies (coherence below %g)", poor, #t, COHERENT))
    end
end

local function placeholders(t, f)
    for _, hz in ipairs(f) do
        t:add(row_of({ hz, 7000, 2 * pi * hz * 2.5, 1 }, 1))
    end
    return t
end

-- Nothing passive gives back what it was given: a negative resistance is a slip of the wiring, or of levels moved between runs.
local function check_passive(t)
    local negative = 0
    for _, row in ipairs(t) do
        negative = negative + (row.r_ohm < -3 * row.sd_ohm and 1 or 0)
    end
    if negative > NEGATIVE * #t then
        core.fail("measured_impedance: no resistance is negative, and this is at " .. integer(negative) .. " of " .. integer(#t)
            .. " frequencies: are the channels the right way round, is the resistor in line without its wire, and were all controls left "
            .. "alone?")
    elseif negative > 0 then
        t:note("WARNING: the resistance is negative at " .. integer(negative) .. " frequencies; record all runs again at the same settings")
    end
end

-- All points that were asked for; of the usual ones those that are not spoilt by the mains.
local function add_points(t, points, ratio, all)
    local spoilt = {}
    for i, z in ipairs(points) do
        local row = row_of(z, ratio[i][5])
        if all or row.sd_ohm < SPOILT * row.z_ohm then
            t:add(row)
        else
            spoilt[#spoilt + 1] = format("%.0f Hz", row.f_hz)
        end
    end
    check_passive(t)
    if #spoilt > 0 and #t > 0 then
        t:note("left out, as noise or hum spoils them: " .. table.concat(spoilt, ", "))
    elseif #t == 0 then
        core.fail("measured_impedance: noise or hum spoils every frequency; turn the player up, keep leads short")
    end
end

-- recording:measured_impedance{ resistor = 47000, shorted = r2, known = r3, known_ohm = 100000 }
function methods.measured_impedance(recording, fields)
    local given = core.read("measured_impedance", fields, "measured_impedance")
    local f = given.f and core.list(given.f) or ll.log_range(20, 20000, 40)
    given.channel, given.reference = given.channel or 1, not given.one_channel and (given.reference or 2) or nil
    if given.one_channel and given.shorted then
        core.fail("measured_impedance: with one_channel the first half of each recording is the run with the wire; leave out 'shorted'")
    end
    local t = new_impedance{ title = "impedance by " .. name_of(recording) }
    if core.placeholder() then
        return placeholders(t, f)
    end
    table.sort(f)
    local ratio = ratio_of(t, recording, given, f)
    local alike = given.shorted and ratio_of(t, given.shorted, given, f)
    local input_s, input_f = input_of(t, given, f, alike)
    add_points(t, core.bridge(given.resistor, input_s, input_f, ratio, alike), ratio, given.f ~= nil)
    note_scatter(t)
    note_hum(t, recording, given.channel)
    if not alike and not given.one_channel then
        t:note("no run with the resistor bridged: both channels were taken as alike")
    end
    t:note(format("player's clock against recorder's: %+.1f ppm, allowed for; the resistor's own error scales all ohms alike",
        1e6 * ratio.drift))
    return t
end
