-- recorded_strings.lua - what a recording tells of plucked strings, of hum between them, and of knocks on the cover.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local format, log, max, min, sqrt = string.format, math.log, math.max, math.min, math.sqrt
local decibels, integer = core.decibels, core.integer

local new_levels = core.declares("recording", "string_levels", {
    { "string", "", "none", "number of the string, in the order of the plucks" },
    { "plucks", "", "counted", "of it" },
    { "peak_db", "dB", "model", "the highest, against what the file can hold" },
    { "rms_db", "dB", "model", "over the pluck" },
    { "after_db", "dB", "model", "the same after the attack" },
    { "level_db", "dB", "model", "after the attack, against the loudest string" },
    { "sd_db", "dB", "model", "standard deviation of that, by the plucks' scatter" },
})
local new_partials = core.declares("recording", "string_partials", {
    { "string", "", "none", "number of the string, in the order of the plucks" },
    { "partial", "", "counted", "1 for the fundamental" },
    { "f_hz", "Hz", "model", "its frequency" },
    { "sd_hz", "Hz", "model", "standard deviation of that" },
    { "off_cents", "cents", "model", "against so many times the string's note" },
    { "drift_cents", "cents", "model", "from the first half of the pluck to the second" },
    { "beat_hz", "Hz", "model", "of the two directions of motion: the warble" },
    { "beat_sd_hz", "Hz", "model", "standard deviation of that" },
    { "decay_s", "s", "model", "time in which it falls to 1/e" },
    { "level_db", "dB", "model", "at its start, against what the file can hold" },
})
local new_hum = core.declares("recording", "hum_lines", {
    { "line", "text", "counted", "number of the mains' harmonic, or all together" },
    { "f_hz", "Hz", "model", "its frequency" },
    { "level_db", "dB", "model", "against what the file can hold" },
    { "sd_db", "dB", "model", "standard deviation of that" },
    { "below_strings_db", "dB", "model", "against the strings' level" },
    { "heard", "text", "model", "whether it stands out of the noise" },
})
local new_knocks = core.declares("recording", "knocks", {
    { "knock", "text", "counted", "number of the knock, or the mean" },
    { "starts_s", "s", "model", "when" },
    { "peak_db", "dB", "model", "its peak, against what the file can hold" },
    { "peak_against_strings_db", "dB", "model", "the same against the plucks' peak" },
})

local LEAST_QUIET_S, MOST_QUIET_S, ONE_PLUCK_DB = 0.6, 8, 0.5 -- the last: how alike two plucks of a hand are; common practice
local ATTACK_S = 0.1

local methods = core.methods.recording

local function mean_and_sd(list)
    local sum, square = 0, 0
    for _, value in ipairs(list) do
        sum = sum + value
    end
    local mean = sum / #list
    for _, value in ipairs(list) do
        square = square + (value - mean) ^ 2
    end
    return mean, #list > 1 and sqrt(square / (#list - 1) / #list) or nil
end

-- Plucks in time; raises where there are none.
local function plucks_of(recording, channel, what)
    local plucks = core.plucks(recording, channel)
    if #plucks == 0 then
        core.fail(what .. ": nothing rises out of the noise in channel " .. integer(channel) .. " of "
            .. core.name_of_recording(recording) .. "; leave a second of silence before the first")
    end
    return plucks
end

-- For each string its plucks; raises where they do not come out even.
local function by_strings(plucks, count, what)
    if #plucks % count ~= 0 then
        local starts = {}
        for i, pluck in ipairs(plucks) do
            starts[i] = format("%.1f", pluck.starts_s)
        end
        core.fail(format("%s: %d plucks were found for %d strings, at %s s; pluck each string once, or all of them several times "
            .. "round, and let each ring for a second", what, #plucks, count, table.concat(starts, ", ")))
    end
    local list = {}
    for i, pluck in ipairs(plucks) do
        local s = (i - 1) % count + 1
        list[s] = list[s] or {}
        table.insert(list[s], pluck)
    end
    return list
end

local function in_db(plucks, key)
    local list = {}
    for i, pluck in ipairs(plucks) do
        list[i] = decibels(pluck[key])
    end
    return mean_and_sd(list)
end

-- recording:string_levels{ count = 6 }: `level_db` against the loudest, as ll.diagnose and ll.balance take levels.
function methods.string_levels(recording, fields)
    local given = core.read("string_levels", fields or {}, "string_levels")
    local count, channel = given.count or 6, given.channel or 1
    local t = new_levels{ title = "levels of the strings in " .. core.name_of_recording(recording) }
    if core.placeholder() then
        for s = 1, count do
            t:add{ string = integer(s), plucks = 1, peak_db = -12, rms_db = -20, after_db = -22, level_db = 0, sd_db = 0.5 }
        end
        return t
    end
    local rows, loudest = {}, -math.huge
    for s, plucks in ipairs(by_strings(plucks_of(recording, channel, "string_levels"), count, "string_levels")) do
        local after, sd = in_db(plucks, "rms_after")
        rows[s] = { string = integer(s), plucks = integer(#plucks), peak_db = (in_db(plucks, "peak")), rms_db = (in_db(plucks, "rms")),
            after_db = after, sd_db = sd or ONE_PLUCK_DB }
        loudest = max(loudest, after)
    end
    for _, row in ipairs(rows) do
        row.level_db = row.after_db - loudest
        t:add(row)
    end
    core.note_channel(t, recording, channel)
    t:note("peak, rms of the first second, and after: rms from 0.1 s on, without the attack; dB of full scale")
    return t:note(rows[1].plucks > 1 and "level: after, against the loudest; sd: of the mean, from what the plucks of a string differ by"
        or "level: after, against the loudest; sd: of one pluck by a practised hand (common practice, no source): pluck several rounds")
end

-- ---- partials ----

-- Where the string is expected and how far another tone may be.
local function find(recording, channel, from_s, lasts_s, near)
    local reach = min(0.35 * near, 25)
    return core.partial(recording, channel, from_s, lasts_s, near, reach)
end

local function cents(f, of)
    return 1200 * log(f / of, 2)
end

-- From the first half of what rings to the second: magnets and stretch draw a pitch as it dies away.
local function drift_of(recording, channel, from_s, lasts_s, near)
    local early = find(recording, channel, from_s, lasts_s / 2, near)
    local late = find(recording, channel, from_s + lasts_s / 2, lasts_s / 2, near)
    return early and late and cents(late.f_hz, early.f_hz) or nil
end

local function add_partial(t, recording, channel, s, pluck, n, near)
    local from, lasts = pluck.starts_s + ATTACK_S, pluck.lasts_s - ATTACK_S
    local found = find(recording, channel, from, lasts, n * near)
    if not found then
        return nil
    end
    t:add{ string = integer(s), partial = integer(n), f_hz = found.f_hz, sd_hz = found.f_sd_hz, level_db = decibels(found.amplitude / sqrt(2)),
        off_cents = cents(found.f_hz, n * near), drift_cents = drift_of(recording, channel, from, lasts, n * near),
        beat_hz = found.modes > 1 and found.beat_hz or nil, beat_sd_hz = found.modes > 1 and found.beat_sd_hz or nil,
        decay_s = found.decay_per_s > 0 and log(1000) / found.decay_per_s or nil }
    return found
end

-- recording:string_partials{ strings = s }: one pluck of each string, in their order.
function methods.string_partials(recording, fields)
    local given = core.read("string_partials", fields, "string_partials")
    local channel, strings = given.channel or 1, given.strings
    strings = strings and (core.type(strings) == "table" and strings or { strings }) or {}
    local t = new_partials{ title = "partials of the strings in " .. core.name_of_recording(recording) }
    if core.placeholder() then
        return t:add{ string = 1, partial = 1, f_hz = 100, sd_hz = 0.01, off_cents = 0, drift_cents = 0, beat_hz = 1, beat_sd_hz = 0.1,
            decay_s = 5, level_db = -20 }
    end
    local missed = 0
    for s, plucks in ipairs(by_strings(plucks_of(recording, channel, "string_partials"), #strings, "string_partials")) do
        for n = 1, given.partials or 4 do
            missed = missed + (add_partial(t, recording, channel, s, plucks[1], n, strings[s]:frequency()) and 0 or 1)
        end
    end
    core.digits_by_row(t, "f_hz", "sd_hz", "beat_hz", "beat_sd_hz", "off_cents", "drift_cents")
    core.note_channel(t, recording, channel)
    t:note("off: against n times the string's note; drift: from the first half to the second; beat: of the two directions of motion, "
        .. "the warble")
    t:note("decay: until it is 60 dB softer; level: rms of the partial at the start, dB of full scale")
    if missed > 0 then
        t:note(format("partials that do not ring long enough or are not there: %d", missed))
    end
    return t
end

-- ---- hum ----

-- The strings' level after the attack, mean over all plucks.
local function level_of_strings(recording, channel)
    local sum, plucks = 0, plucks_of(recording, channel, "strings")
    for _, pluck in ipairs(plucks) do
        sum = sum + pluck.rms_after ^ 2
    end
    return sqrt(sum / #plucks)
end

-- A line's level and how far noise may put it off, in dB.
local function hum_row(name, f, rms, sd, heard, strings)
    local level = decibels(rms)
    return { line = name, f_hz = f, level_db = level, sd_db = rms > 0 and min(20, 8.686 * sd / rms) or 20, heard = heard,
        below_strings_db = strings and level - decibels(strings) or nil }
end

-- recording:hum_lines{ mains = 50, strings = r2 }: from the longest quiet stretch.
function methods.hum_lines(recording, fields)
    local given = core.read("hum_lines", fields, "hum_lines")
    local channel, count = given.channel or 1, given.lines or 10
    local t = new_hum{ title = "hum in " .. core.name_of_recording(recording) }
    if core.placeholder() then
        return t:add{ line = "all", f_hz = 50, level_db = -60, sd_db = 0.1, below_strings_db = -40, heard = true }
    end
    local quiet = core.plucks(recording, channel).quiet
    if quiet.lasts_s < LEAST_QUIET_S then
        core.fail(format("hum_lines: the longest silence in %s lasts %.1f s; record two seconds in which nothing sounds",
            core.name_of_recording(recording), quiet.lasts_s))
    end
    local found = core.hum_lines(recording, channel, quiet.starts_s, min(quiet.lasts_s, MOST_QUIET_S), given.mains, count)
    local strings = given.strings and level_of_strings(given.strings, channel)
    local power, variance, any = 0, 0, false
    for n, line in ipairs(found) do
        t:add(hum_row(integer(n) .. "", line.f_hz, line.rms, line.rms_sd, line.heard, strings))
        if line.heard then
            power, variance, any = power + line.rms ^ 2, variance + (line.rms * line.rms_sd) ^ 2, true
        end
    end
    if any then
        t:add(hum_row("all", found.mains_hz, sqrt(power), sqrt(variance / power), true, strings))
    end
    core.note_channel(t, recording, channel)
    t:note(format("mains at %.2f Hz, looked for in %.1f s of silence from %.1f s on; rms, dB of full scale", found.mains_hz,
        min(quiet.lasts_s, MOST_QUIET_S), quiet.starts_s))
    return t:note("all: the lines that are heard, together; those that are not stand in the noise and are less than what is shown")
end

-- ---- knocks ----

-- recording:knocks{ strings = r2 }: knocks on the cover, one after the other.
function methods.knocks(recording, fields)
    local given = core.read("knocks", fields or {}, "knocks")
    local channel = given.channel or 1
    local t = new_knocks{ title = "knocks in " .. core.name_of_recording(recording) }
    if core.placeholder() then
        return t:add{ knock = "mean", peak_db = -20, peak_against_strings_db = -20 }
    end
    local strings, sum = nil, 0
    if given.strings then
        for _, pluck in ipairs(plucks_of(given.strings, channel, "strings")) do
            sum = sum + pluck.peak ^ 2
        end
        strings = sqrt(sum / #core.plucks(given.strings, channel))
    end
    local peaks = {}
    for i, knock in ipairs(plucks_of(recording, channel, "knocks")) do
        peaks[i] = decibels(knock.peak)
        t:add{ knock = integer(i) .. "", starts_s = knock.starts_s, peak_db = peaks[i],
            peak_against_strings_db = strings and peaks[i] - decibels(strings) or nil }
    end
    local mean, sd = mean_and_sd(peaks)
    t:add{ knock = "mean", peak_db = mean, peak_against_strings_db = strings and mean - decibels(strings) or nil }
    core.note_channel(t, recording, channel)
    return t:note(sd and format("the mean is good to %.1f dB (one standard deviation), from what the knocks differ by", sd)
        or "one knock alone tells little: knock several times with the same pencil from the same height")
end
