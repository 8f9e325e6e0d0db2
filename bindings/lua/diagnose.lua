-- diagnose.lua - ll.diagnose: which faults explain the readings, and which reading to take next.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local bench = core.bench
local concat = table.concat

local SHOWN = 8               -- faults in the table
local WORTH_SAYING = 0.02     -- of a probability
local WORTH_A_ROW = 0.05      -- of that of several faults together: many are as rare, and no hand can act on them
local LIKELY = 0.05           -- of a fault whose mend is warned of
local WORTH_TAKING = 0.02     -- bits
local new_faults = core.declares("diagnosis", "faults", {
    { "rank", "", "counted", "1 for the likeliest" },
    { "fault", "text", "none", "what is wrong, in words" },
    { "probability_percent", "%", "model", "that it is this, of all that was thought of" },
    { "apart_sd", "", "model", "how far the readings part it from the first, in standard deviations" },
    { "fitted", "text", "model", "how much of it, and give or take" },
    { "mend", "text", "none", "what to do" },
})
local new_readings = core.declares("diagnosis", "readings", {
    { "reading", "text", "none", "what was read" },
    { "measured", "text", "none", "as given" },
    { "sound_pickup", "text", "model", "what it would be of a sound one" },
    { "likeliest_fault", "text", "model", "what it would be with the likeliest fault" },
    { "off_by", "", "model", "measured against that, in standard deviations of reading and parts" },
})
local new_next = core.declares("diagnosis", "next", {
    { "take", "text", "none", "the reading to take" },
    { "settles_bits", "", "model", "expected information about which fault it is; one bit halves the doubt" },
    { "minutes", "", "none", "what it takes" },
})
local new_change = core.declares("diagnosis", "change", {
    { "reading", "text", "none", "what was read" },
    { "before", "text", "none", "as measured before the work" },
    { "after", "text", "none", "as measured after it" },
    { "difference", "text", "none", "after less before, and as a share of it where that says more" },
    { "sound_pickup", "text", "model", "what it would be of a sound one, computed" },
})
local new_meanings = core.declares("diagnosis", "meanings", {
    { "reading", "text", "none", "what would be read next" },
    { "if_N", "text", "model", "its value if the fault with this number in the notes is there" },
})
local MEANINGS = 4            -- faults whose values for the next reading are told

-- The likeliest size of each fault of an answer, and how sure it is, from its points' shares.
local function sizes_of(answer)
    local means, spreads = {}, {}
    for n in ipairs(answer.of.faults) do
        local mean, square = 0, 0
        for p, share in ipairs(answer.shares) do
            mean = mean + share * answer.of.sizes[p][n]
            square = square + share * answer.of.sizes[p][n] ^ 2
        end
        means[n], spreads[n] = mean, math.sqrt(math.max(0, square - mean ^ 2))
    end
    return means, spreads
end

local function fault_says(answer)
    local texts = {}
    for n, fault in ipairs(answer.of.faults) do
        texts[n] = fault.says
    end
    return #texts > 0 and concat(texts, "; and ") or answer.of.says
end

-- "too low by 0.4 mm, 0.3 to 0.6 mm": a size, and from where to where it may be (one standard deviation either way, within its range).
-- Of one that may go either way only how far.
local function size_says(fault, mean, spread)
    local low, high = math.max(fault.range[1], mean - spread), math.min(fault.range[2], mean + spread)
    local function what(size)
        return core.type(fault.what) == "function" and fault.what(size) or fault.what
    end
    local at, from, to = fault.show(mean), fault.show(low), fault.show(high)
    if what(low) ~= what(high) then
        return "either way, by up to " .. fault.show(math.max(math.abs(low), high))
    elseif from == to then
        return what(mean) .. " " .. at
    end
    return what(mean) .. " " .. at .. ", " .. (low < 0 and to or from) .. " to " .. (low < 0 and from or to)
end

local function fitted(answer)
    local texts, means, spreads = {}, sizes_of(answer)
    for n, fault in ipairs(answer.of.faults) do
        if fault.range then
            texts[#texts + 1] = size_says(fault, means[n], spreads[n])
        end
    end
    return concat(texts, "; ")
end

local function mend(answer)
    local texts = {}
    for n, fault in ipairs(answer.of.faults) do
        texts[n] = fault.mend
    end
    return concat(texts, "; ")
end

local SURE = 0.95     -- of all that has a name
local DOUBTFUL = 0.5  -- that a reading is simply wrong

-- What nearly all named answers share, where no single one is as sure.
local function sure_of(now)
    local first, named, shares, order, list = now.answers[1], 0, {}, {}, {}
    if first.probability > SURE then
        return {}
    end
    for _, answer in ipairs(now.answers) do
        named = named + (answer.of.says ~= "none of these" and answer.probability or 0)
        for _, fault in ipairs(answer.of.faults) do
            order[#order + 1] = not shares[fault] and fault or nil
            shares[fault] = (shares[fault] or 0) + answer.probability
        end
    end
    for _, fault in ipairs(order) do
        if shares[fault] > SURE * named then
            list[#list + 1] = string.format("sure even so: %s (in %.0f %% of all that has a name here)", fault.says,
                100 * shares[fault] / named)
        end
    end
    return list
end

-- Places in the layout of readings that are likelier wrong than right.
local function doubtful(now)
    local list = {}
    for n, k in ipairs(now.asked.taken) do
        if now.slips[n] > DOUBTFUL then
            list[#list + 1] = now.layout[k]
        end
    end
    return list
end

-- What to mind with the mends that are likely, each said once, where one that is sound is not likelier, and of two that read alike the one that costs less.
local function what_to_mind(now, apart)
    local list, said, first = {}, {}, now.answers[1]
    local cheapest, least = nil, math.huge
    for rank, answer in ipairs(now.answers) do
        local minutes = 0
        for _, fault in ipairs(#first.of.faults > 0 and rank <= SHOWN and answer.probability > LIKELY and answer.of.faults or {}) do
            local kind = bench.kinds[fault.kind]
            minutes = minutes + kind.minutes
            if kind.risk and not said[kind.risk] then
                said[kind.risk] = true
                list[#list + 1] = "mind: " .. kind.risk
            end
        end
        if minutes > 0 and (rank == 1 or apart[rank] < 1) and minutes < least then
            cheapest, least = answer, minutes
        end
    end
    if cheapest and cheapest ~= first then
        list[#list + 1] = string.format("these readings do not part it from the first, and it costs less: try '%s' before anything else "
            .. "(some %.0f minutes)", mend(cheapest), least)
    end
    return list
end

-- ---- one sentence ----

local FOUND, LIKELIEST = 0.9, 0.5 -- from which on it is told as found, and as the likeliest

-- An answer with how much of it.
local function clause(answer)
    local much = fitted(answer)
    return fault_says(answer) .. (much ~= "" and " (" .. much .. ")" or "")
end

local function chance(answer)
    return string.format("%.0f %%", 100 * answer.probability)
end

-- What the readings say in one sentence.
local function sentence(now)
    local first, second = now.answers[1], now.answers[2]
    if first.of.says == "none of these" then
        local sure, nearest = sure_of(now), second and #second.of.faults > 0 and "; nearest comes " .. clause(second) .. ", " .. chance(second)
        return "No fault that has a name here explains these readings" .. (sure[1] and "; " .. concat(sure, "; ") or nearest or "") .. "."
    elseif first.of.says then
        return (first.probability < LIKELIEST and "Nothing found yet" or "Nothing wrong that these readings show") .. "; that it is sound has "
            .. chance(first) .. "."
    elseif first.probability > FOUND then
        return "Found: " .. clause(first) .. "; " .. chance(first) .. "."
    elseif first.probability > LIKELIEST or second.of.says then
        return "Likeliest: " .. clause(first) .. "; " .. chance(first) .. "."
    end
    return "Not settled: " .. clause(first) .. ", " .. chance(first) .. "; or " .. clause(second) .. ", " .. chance(second) .. "."
end

-- ---- tables ----

local function table_of_faults(job, now)
    local t = new_faults({ title = "What is wrong",
        notes = { "probability: of these faults, up to three at a time; 'none of these' is anything else.",
            "apart_sd: how far these readings part it from the first, in standard deviations; below 1 they cannot tell the "
                .. "two apart." } })
    local apart, share = bench.apart(now), 0
    for rank, answer in ipairs(now.answers) do
        if rank > 1 and #answer.of.faults > 1 and answer.probability < WORTH_A_ROW then
            share = share + answer.probability
        elseif rank <= 1 or #t < SHOWN and answer.probability > WORTH_SAYING then
            t:add({ rank = #t + 1, fault = fault_says(answer), probability_percent = 100 * answer.probability,
                apart_sd = rank > 1 and answer.of.says ~= "none of these" and apart[rank] or nil,
                fitted = fitted(answer), mend = mend(answer) })
        end
    end
    if share > WORTH_A_ROW then
        t:note(string.format("several faults at once, each such set less likely than %.0f %%: %.0f %% together", 100 * WORTH_A_ROW, 100 * share))
    end
    for _, text in ipairs(sure_of(now)) do
        t:note(text)
    end
    for _, text in ipairs(what_to_mind(now, apart)) do
        t:note(text)
    end
    for _, text in ipairs(job.left_out) do
        t:note("not thought of, as it cannot be built: " .. text)
    end
    return t
end

local function find_sound(answers)
    for _, answer in ipairs(answers) do
        if answer.of.says and answer.of.says ~= "none of these" then
            return answer
        end
    end
end

-- A sign is right, 0, or wrong, which has no number.
local function off_by(row, value, predicted, error)
    if not row.sign then
        return (value - predicted) / error
    end
    return bench.shown(row, predicted) == row.of.show(value) and 0 or nil
end

-- Every reading beside what the likeliest fault and a sound pickup would give.
local function table_of_readings(case, now)
    local best, sound = now.answers[1], find_sound(now.answers)
    if best.of.says == "none of these" then
        best = sound
    end
    local t = new_readings({ title = "Readings",
        notes = { "measured: what the instruments gave; the two columns after it are computed from the description.",
            "off_by: measured against the likeliest fault, in standard deviations of reading and parts; "
            .. "beyond 2 is rare." } })
    for k, row in ipairs(now.layout) do
        local value = case.taken[row.index][row.item]
        local predicted, of_sound = best.of.predicted[best.best][k], sound.of.predicted[1][k]
        if value then
            t:add({ reading = row.name, measured = row.of.show(value), sound_pickup = bench.shown(row, of_sound),
                likeliest_fault = bench.shown(row, predicted),
                off_by = off_by(row, value, predicted, best.errors[k]) })
        end
    end
    for _, row in ipairs(doubtful(now)) do
        t:note("take it again, for it fits nothing that the others ask for: " .. row.name)
    end
    return t
end

-- Rows of the readings that are worth their minutes, best first.
local function worth_taking(case, ahead)
    local rows, seen = {}, {}
    for _, row in ipairs(ahead.layout) do
        local bits, minutes = ahead.bits[row.test], case.minutes[bench.reading_of(row.of)]
        if not seen[row.test] and not case.taken[row.index] and bits > WORTH_TAKING and minutes then
            rows[#rows + 1] = { take = row.of.says, settles_bits = bits, minutes = minutes, row = row }
        end
        seen[row.test] = true
    end
    table.sort(rows, function(a, b)
        return a.settles_bits / a.minutes > b.settles_bits / b.minutes
    end)
    return rows
end

local function table_of_next(case, now, ahead)
    local t = new_next({ title = "What to measure next",
        notes = { "settles_bits: expected information about which fault it is; one bit halves the doubt. What settles most a minute "
            .. "comes first.", "Nothing listed: no reading that is left would tell more." } })
    local rows = worth_taking(case, ahead)
    for _, row in ipairs(doubtful(now)) do
        t:add({ take = "once more: " .. row.name, minutes = case.minutes[bench.reading_of(row.of)] or nil })
    end
    for _, row in ipairs(rows) do
        t:add({ take = row.take, settles_bits = row.settles_bits, minutes = row.minutes })
    end
    return t, rows[1] and rows[1].row
end

-- What the next reading would be under each of the likeliest faults: the values that would mean what.
local function table_of_meanings(ahead, row)
    local columns, notes, told = { "reading" }, {}, {}
    for _, answer in ipairs(ahead.answers) do
        if #told < MEANINGS and answer.of.says ~= "none of these" and answer.probability > WORTH_SAYING then
            told[#told + 1] = answer
            columns[#columns + 1] = "if_" .. core.integer(#told)
            notes[#notes + 1] = core.integer(#told) .. ": " .. fault_says(answer)
        end
    end
    local t = new_meanings({ title = "Next: " .. row.of.says .. ", and what it would mean", columns = columns,
        notes = notes })
    for k, other in ipairs(ahead.layout) do
        if other.test == row.test then
            local cells = { reading = other.name }
            for n, answer in ipairs(told) do
                cells[columns[n + 1]] = bench.shown(other, answer.of.predicted[answer.best][k])
            end
            t:add(cells)
        end
    end
    return t
end

-- ---- the result ----

local methods = {}
core.methods.diagnosis = methods
local metatable = { __metatable = "diagnosis" }

function metatable.__index(_, key)
    return methods[key] or core.fail("a diagnosis has no '" .. core.tostring(key)
        .. "'; it has faults, readings, next and meanings, tables of results, and says, change and print")
end

function metatable.__newindex(_, key)
    core.fail("a diagnosis never changes: '" .. core.tostring(key) .. "' cannot be set")
end

-- What each diagnosis rests on: { case, now }.
local basis = core.setmetatable({}, { __mode = "k" })

function methods.says(d)
    return basis[d] and sentence(basis[d].now) or ""
end

-- Readings of a diagnosis by their names: { row, value }, and the names in their order.
local function readings_of(d)
    local by_name, order = {}, {}
    for _, row in ipairs(basis[d] and basis[d].now.layout or {}) do
        local value = basis[d].case.taken[row.index][row.item]
        if value then
            by_name[row.name], order[#order + 1] = { row = row, value = value }, row.name
        end
    end
    return by_name, order
end

-- What was read both before and after the work, and what it changed by.
function methods.change(d, after)
    local t, was, is = new_change({ title = "Before and after" }), readings_of(d), nil
    local order
    is, order = readings_of(core.is_diagnosis(after, "change"))
    local sound = {}
    for _, row in ipairs(after.readings) do
        sound[row.reading] = row.sound_pickup
    end
    for _, name in ipairs(order) do
        local a, b = was[name], is[name]
        if a then
            t:add({ reading = name, before = a.row.of.show(a.value), after = b.row.of.show(b.value),
                difference = bench.difference(b.row.of, a.value, b.value), sound_pickup = sound[name] })
        end
    end
    return t
end

-- The diagnosis, or a fault that names the place.
function core.is_diagnosis(d, place)
    local kind = d ~= nil and core.getmetatable(d)
    if core.type(kind) ~= "table" or core.rawget(kind, "__metatable") ~= "diagnosis" then
        core.fail(place .. ": what ll.diagnose gave was expected")
    end
    return d
end

local function tables_of(d)
    local list = {}
    for _, t in ipairs({ d.faults, d.readings, d.next, d.meanings }) do
        list[#list + 1] = #t > 0 and t or nil
    end
    return list
end

-- Prints all tables, what is wrong first.
function methods.print(d)
    for _, t in ipairs(tables_of(d)) do
        t:print()
    end
end

-- The same as text, so that print(d) shows it.
function metatable.__tostring(d)
    local texts = {}
    for i, t in ipairs(tables_of(d)) do
        texts[i] = core.tostring(t)
    end
    return concat(texts, "\n")
end

-- In a check nothing is solved: the tables are there, empty.
local function nothing_yet()
    return { faults = new_faults({ title = "What is wrong" }), readings = new_readings({ title = "Readings" }),
        next = new_next({ title = "What to measure next" }), meanings = new_meanings({ title = "Meanings", columns = { "reading" } }) }
end

-- ll.diagnose{ build = p, readings = {...}, strings = {...} }
function ll.diagnose(fields)
    local given = core.read("diagnose", fields, "diagnose")
    local readings = core.read("readings", given.readings or {}, "readings")
    readings = bench.read_only(readings)
    if core.run().check_mode then
        if getmetatable(given.build) == "pickup" then -- else that has been told
            bench.look_over(given.build, readings, given)
        end
        return core.setmetatable(nothing_yet(), metatable)
    end
    local job = bench.open(given.build, bench.settings(given.build, readings, given))
    local case = { job = job, faults = job.fault_list, minutes = bench.minutes(given.minutes) }
    case.taken, case.scatter = bench.taken(job, readings)
    if not readings.sure then
        bench.ask_back(job, case.taken)
    end
    local now, ahead = bench.weigh(case)
    local d = { faults = table_of_faults(job, now), readings = table_of_readings(case, now) }
    core.note_odd(d.faults, given)
    local next_row
    d.next, next_row = table_of_next(case, now, ahead)
    d.meanings = next_row and table_of_meanings(ahead, next_row) or nothing_yet().meanings
    basis[d] = { case = case, now = now }
    return core.setmetatable(d, metatable)
end
