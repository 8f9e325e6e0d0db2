-- balance.lua - ll.balance: pole heights that make the strings equally loud.
--
-- The levels of each trial are read from a draft, put right by how far the draft was off where the full solution was last heard; how
-- they go with the heights comes from the poles moved one at a time. Bounded least squares levels them with as little turning of
-- screws as it takes, and what it finds is heard in full.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local bench = core.bench
local abs, log, max, min = math.abs, math.log, math.max, math.min
local format = string.format

local new_table = core.declares("ll", "balance", {
    { "string", "text", "none", "name of the string" },
    { "pole", "text", "none", "name of the screw under it" },
    { "raise_mm", "mm", "mesh", "how far to turn the screw up, or down where it is negative" },
    { "gap_mm", "mm", "none", "from the pole to the string as it is then" },
    { "before_db", "dB", "mesh", "level against the mean of all strings, as it stands" },
    { "after_db", "dB", "mesh", "the same as it is then" },
    { "limited_by", "text", "none", "what kept the screw from going further" },
})

local ROUNDS = 6
local STEP = 0.1      -- mm
local HEARINGS = 4    -- of settings in full
local KEPT_DB = 0.1   -- a setting that is as even as the draft foretold to this needs no other
local SERVED = 0.3    -- of what was uneven before: slopes that leave more are taken anew, as they are not straight over millimetres
local CLOSE_DB = 0.02
local BESIDE = 5      -- mm that a string may stand beside a pole that is its own: strings are 7 to 20 mm apart (common practice)
local LOWERED = 0.25 -- mm at a time, where a string is pulled too hard

-- The steel or magnet pole under each string; several strings over one pole cannot be set apart.
local function pole_of(job, string)
    local best
    for _, i in ipairs(job.poles) do
        local away = max(0, abs(job.parts[i].at[1] - string.x) - core.reach(job.parts[i]))
        if not best or away < best.away - 1e-9 then
            best = { part = i, away = away }
        end
    end
    if not best then
        core.fail("balance: the pickup has no poles to set")
    elseif best.away > BESIDE then
        core.fail(format("balance: string '%s' has no pole below it: the nearest, %s, ends %.4g mm beside it; give 'x' of the "
            .. "string, or poles their place", string.name, bench.label(job.parts[best.part], best.part, "pole"), best.away))
    end
    return best.part
end

local function poles_under(job)
    local list, seen = {}, {}
    for s, string in ipairs(job.strings) do
        list[s] = pole_of(job, string)
        if seen[list[s]] then
            core.fail("balance: strings '" .. seen[list[s]] .. "' and '" .. string.name .. "' stand over the same pole")
        end
        seen[list[s]] = string.name
    end
    return list
end

-- Every part that carries poles moved by its height.
local function moved(job, poles, heights)
    local parts = { table.unpack(job.parts) }
    for s, i in ipairs(poles) do
        parts[i] = parts[i]:moved(0, 0, heights[s])
    end
    return parts
end

local function levels_of(voltages)
    local list = {}
    for s, v in ipairs(voltages) do
        list[s] = 20 * log(max(abs(v), 1e-9), 10)
    end
    return list
end

-- dB of each string, from the draft: plucked alike, each coil by how its signal has changed; or at the same velocity.
local function rough_levels(job, parts)
    local signal, sound, coils = bench.ask(job, {}, parts, "answered"), bench.ask(job, job.sound, job.parts, "answered"), #job.coils
    local squares, list = bench.squares(job), {}
    for s in ipairs(job.strings) do
        local sum, share = 0, {}
        for c = 1, coils do
            local k = (s - 1) * coils + c
            sum, share[c] = sum + signal[k], sound[k] ~= 0 and signal[k] / sound[k] or 1
        end
        list[s] = squares and core.plucked_level(squares[s], share) or sum
    end
    return levels_of(list)
end

-- What each string lacks to the mean of all, over what is wanted.
local function residual_of(levels, want)
    local mean, list = 0, {}
    for s, level in ipairs(levels) do
        mean = mean + (level - want[s]) / #levels
    end
    for s, level in ipairs(levels) do
        list[s] = level - want[s] - mean
    end
    return list
end

local function widest(residual)
    local least, most = math.huge, -math.huge
    for _, r in ipairs(residual) do
        least, most = min(least, r), max(most, r)
    end
    return most - least
end

local function plus(a, b, sign)
    local list = {}
    for s, value in ipairs(a) do
        list[s] = value + (sign or 1) * b[s]
    end
    return list
end

-- What the draft leaves at these heights, where `off` was missing from its levels.
local function foretold(job, poles, given, heights, off)
    return residual_of(plus(rough_levels(job, moved(job, poles, heights)), off), given.want)
end

-- How every residual goes with every height, poles moved one at a time by a tenth of a millimetre: down, or up from where they can go
-- no lower.
local function slopes(job, poles, given, heights, low, off, here)
    local rows = {}
    for s in ipairs(poles) do
        rows[s] = {}
    end
    for k in ipairs(poles) do
        local there, step = { table.unpack(heights) }, heights[k] - STEP < low[k] and STEP or -STEP
        there[k] = there[k] + step
        for s, r in ipairs(foretold(job, poles, given, there, off)) do
            rows[s][k] = (r - here[s]) / step
        end
    end
    return rows
end

-- ---- limits ----

-- Clear distance from the string to the top of its pole, at the heights given.
local function gaps(job, poles, heights)
    local list = {}
    for s, string in ipairs(job.strings) do
        local part = job.parts[poles[s]]
        local _, _, reach = core.reach(part)
        list[s] = string.z - string.gauge / 2 - (bench.centre(part)[3] + reach + heights[s])
    end
    return list
end

-- How far each pole can go, and what stops it at either end: the range, a part above or below, the string.
local function bounds(job, poles, given)
    local zero, low, high, why = {}, {}, {}, {}
    for s in ipairs(poles) do
        zero[s] = 0
    end
    for s, gap in ipairs(gaps(job, poles, zero)) do
        low[s], high[s], why[s] = given.range[1], given.range[2], { low = "the end of its range", high = "the end of its range" }
        local function stop(below, above, what)
            if below > low[s] then
                low[s], why[s].low = below, what .. " below it"
            end
            if above < high[s] then
                high[s], why[s].high = above, what .. " above it"
            end
        end
        stop(low[s] < 0 and -core.travel(job.pickup, poles[s], "down", -low[s]) or low[s],
            high[s] > 0 and core.travel(job.pickup, poles[s], "up", high[s]) or high[s], "the part")
        if gap - high[s] < given.least_gap then
            high[s], why[s].high = gap - given.least_gap, "the least gap"
        end
        if high[s] <= low[s] and why[s].high ~= "the least gap" then
            core.fail("balance: the pole of string '" .. job.strings[s].name .. "' stands between parts that leave it no room")
        elseif high[s] <= low[s] then
            core.fail(string.format("balance: string '%s' would be %.2f mm from its pole even with the pole all the way down, and "
                .. "'least_gap' is %.2f mm; raise the string, or give 'range' more room downwards", job.strings[s].name,
                gap - low[s], given.least_gap))
        end
    end
    return low, high, why
end

-- From where the poles stand on, of all rounds the one that is most even; second, how uneven.
local function search(job, poles, given, from, low, high, off)
    local heights, jacobian, best, before = {}, nil, nil, math.huge
    for s in ipairs(poles) do
        heights[s] = max(low[s], min(from[s], high[s]))
    end
    for round = 0, ROUNDS do
        local residual = foretold(job, poles, given, heights, off)
        local uneven = widest(residual)
        if not best or uneven < best.widest then
            best = { heights = heights, widest = uneven }
        end
        if best.widest < CLOSE_DB or round == ROUNDS then
            break
        end
        jacobian = uneven < SERVED * before and jacobian or slopes(job, poles, given, heights, low, off, residual)
        before = uneven
        local next_heights = core.step({ jacobian = jacobian, residual = residual, x = heights, low = low, high = high, damping = 0.05 })
        if bench.same(next_heights, heights) then
            break
        end
        heights = next_heights
    end
    return best.heights, best.widest
end

-- Pull of the magnets at each string in cents down, at these heights.
local function cents(job, given, parts)
    local list = {}
    for s, row in ipairs(ll.pickup({ parts = parts, coils = job.coils,
        accuracy = 3 }):pull({ strings = given.placed })) do
        list[s] = max(abs(row.vertical_cents), abs(row.horizontal_cents))
    end
    return list
end

-- Where a string is pulled too hard its pole comes down, and the rest is levelled anew.
local function search_gently(job, poles, given, case, off)
    local low, high, why = case.low, case.high, case.why
    local heights, uneven = search(job, poles, given, case.heights, low, high, off)
    for _ = 1, given.most_cents and 8 or 0 do
        local hard = false
        for s, c in ipairs(cents(job, given, moved(job, poles, heights))) do
            if c > given.most_cents and heights[s] - LOWERED > low[s] then
                high[s], why[s].high, hard = heights[s] - LOWERED, "the pull on the string", true
            end
        end
        if not hard then
            break
        end
        heights, uneven = search(job, poles, given, heights, low, high, off)
    end
    return heights, uneven
end

-- ---- the table ----

local function check_range(range)
    if range[1] == range[2] then
        core.fail(string.format("balance: nothing can be moved within 'range' {%g, %g}; it is how far the poles go down and up from "
            .. "where they stand, as in {-2, 2}", range[1], range[2]))
    elseif range[1] > range[2] then
        core.fail(string.format("balance: 'range' {%g, %g} goes from the lowest to the highest; write {%g, %g}", range[1], range[2],
            range[2], range[1]))
    end
end

local function read_want(given, count)
    local want = core.type(given.want) == "table" and core.list(given.want) or {}
    for s, db in ipairs(want) do
        if core.type(db) ~= "number" or db ~= db or abs(db) > 60 then
            core.fail("balance: item " .. s .. " of 'want' must be the dB that the string should be over the mean")
        end
    end
    if given.want ~= nil and #want ~= count then
        core.fail("balance: 'want' needs a dB for each of the " .. core.integer(count) .. " strings")
    end
    for s = 1, count do
        want[s] = want[s] or 0
    end
    return want
end

-- dB of each string by the program's own readings: of its sound, or of a string that would touch a part as it swings the level that
-- it has without.
local function full_levels(job, given, parts)
    local p = given.build:with({ parts = parts })
    local at_rest = p:sensitivity({ strings = given.placed }):column("vertical_mv")
    if not bench.squares(job) then
        return levels_of(at_rest), p
    end
    local fine, sound = core.pcall(p.output, p, { strings = given.placed, pluck = given.pluck, partials = 1 })
    if fine then
        return levels_of(sound:column("rms_mv")), p
    end
    local list, ones = {}, {}
    for c in ipairs(job.coils) do
        ones[c] = 1
    end
    for s, squares in ipairs(core.plucked(p, given.placed, given.pluck)) do
        list[s] = 1000 * core.plucked_level(squares, ones)
    end
    return levels_of(list), p
end

local function limited(heights, low, high, s)
    return heights[s] <= low[s] + 1e-6 and "low" or heights[s] >= high[s] - 1e-6 and "high" or nil
end

local function add_rows(t, job, poles, case, given)
    local before, after = residual_of(case.before, given.want), residual_of(case.after, given.want)
    local gap = gaps(job, poles, case.heights)
    for s, string in ipairs(job.strings) do
        local at = limited(case.heights, case.low, case.high, s)
        t:add({ string = string.name, pole = bench.label(job.parts[poles[s]], poles[s], "pole"),
            raise_mm = case.heights[s], gap_mm = gap[s], before_db = before[s], after_db = after[s],
            limited_by = at and case.why[s][at] or "" })
    end
    local spread = widest(after)
    t:note(spread <= given.within and string.format("level within %.2f dB", spread)
        or string.format("%.2f dB remain between the loudest and the softest string; what is at a limit says why",
            spread))
end

-- Settings heard in full until one is what the draft foretold; the most even one stays in the case. Where poles had to leave where
-- they stand, that is no setting.
local function settle(job, poles, given, case)
    local off, levels, heights = nil, case.before, {}
    for s in ipairs(poles) do
        heights[s] = 0
        case.stays = case.stays ~= false and case.low[s] <= 0 and case.high[s] >= 0
    end
    case.heights, case.after, case.set_up = heights, case.before, given.build
    case.uneven = case.stays and widest(residual_of(case.before, given.want)) or math.huge
    for _ = 1, HEARINGS do
        local uneven, p
        off = plus(levels, rough_levels(job, moved(job, poles, heights)), -1)
        heights, uneven = search_gently(job, poles, given, case, off)
        levels, p = full_levels(job, given, moved(job, poles, heights))
        local heard = widest(residual_of(levels, given.want))
        if heard < case.uneven then
            case.heights, case.after, case.set_up, case.uneven = heights, levels, p, heard
        end
        if heard <= CLOSE_DB or abs(heard - uneven) < KEPT_DB then
            break
        end
    end
end

-- ll.balance{ build = p, strings = s, range = {-2, 2}, least_gap = 1.5, within = 0.5, most_cents = ..., want = {...}
-- }: what to do with each screw, and as a second result the pickup as it is then.
function ll.balance(fields)
    local given = core.read("balance", fields, "balance")
    given.range, given.least_gap, given.within = given.range or { -2, 2 }, given.least_gap or 1.5, given.within or 0.5
    check_range(given.range)
    local t = new_table({ title = "balance",
        notes = { "raise: screw up (+) or down (-) from where it stands. before, after: against the mean of all "
            .. "strings" .. (given.equal == "velocity" and " at the same velocity." or ", plucked alike.") } })
    if core.run().check_mode then
        return t, given.build
    end
    local job = bench.open(given.build, { strings = given.strings, faces = {}, distances = {}, pluck = given.pluck,
        equal = given.equal })
    given.placed, given.want = job.strings, read_want(given, #job.strings)
    local poles = poles_under(job)
    local case = { before = full_levels(job, given, job.parts) }
    case.low, case.high, case.why = bounds(job, poles, given)
    settle(job, poles, given, case)
    if case.set_up == given.build then
        t:note("no setting within these limits is more even than the poles are now")
    end
    add_rows(t, job, poles, case, given)
    core.note_odd(t, given)
    if given.equal ~= "velocity" and not bench.squares(job) then
        t:note("at the same velocity: a string without 'note' cannot be plucked")
    end
    return t, case.set_up
end
