-- bench_weigh.lua - hypotheses made from faults, and their probabilities.
--
-- First all single faults are weighed on the readings that were taken; pairs follow, for a second fault may hide behind
-- a first. Where the first alone explains the readings, it is one of the likeliest; where none does, all meet all.
-- Only what survives is asked what it says about the readings that are left, which is where strings cost time.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local bench = core.bench
local abs, max = math.abs, math.max

local SIZES, SIZES_AHEAD, SIZES_OF_PAIRS, SIZES_OF_BEST_PAIRS = 13, 8, 5, 9
local FIRSTS, BEST_PAIRS, THIRDS, BEST_TRIPLES = 8, 16, 6, 6
-- Of what comes to a bench so much is sound, so much has what nobody thought of, and so much of the rest two or three
-- faults at once: common practice, no source.
local SOUND, NONE, PAIRS, TRIPLES = 0.15, 0.03, 0.1, 0.02
local SURVIVES = 0.004    -- less likely faults are not asked what they say about other readings
local COUNTS = 0.0002     -- of all pairs; less likely ones are left out
-- All meet all from this probability of "none of these" on, or when the best fault's chi squared is further than
-- so many standard deviations, sqrt(2 n), above the number of readings n.
local UNEXPLAINED, MISFIT = 0.2, 3

-- How broad a fault that nobody thought of scatters, in the units of the tests' scales; fields as much as the largest
-- is.
local BROAD = { dcr = 0.7, coil_dcr = 0.7, inductance = 0.7, loss = 0.7, resonance = 0.5, levels = 8, output = 10, hum = 8,
    tap = 8, jack = 2, jack_peak = 0.5, jack_rise = 6, tone_knob = 0.7 }

local function add_point(job, h, sizes, wanted)
    local n = #h.predicted + 1
    h.predicted[n], h.extra[n] = bench.predict(job, bench.state(job, h.faults, sizes), wanted)
    h.sizes[n] = sizes
end

-- How often some faults are met together: as often as the product of their shares, in whatever order they came.
local function prior_of(job, faults)
    local prior = 1 - SOUND - NONE
    for _, fault in ipairs(faults) do
        prior = prior * fault.prior / job.fault_weight
    end
    return faults[3] and 6 * TRIPLES * prior or faults[2] and 2 * PAIRS * prior or (1 - PAIRS - TRIPLES) * prior
end

-- Some faults together, at every combination of so many sizes each, the last one's running fastest; `settled`: sizes that the first
-- of them have.
local function hypothesis_of(job, faults, wanted, count, settled)
    local h = { faults = faults, predicted = {}, extra = {}, sizes = {}, grid = {}, prior = prior_of(job, faults) }
    local lists = {}
    for n, fault in ipairs(faults) do
        local places
        if settled and settled[n] then
            lists[n] = { settled[n] }
        else
            lists[n], places = bench.sizes(fault, count)
        end
        h.grid[#h.grid + 1] = places
    end
    local function grow(n, sizes)
        if n > #faults then
            return add_point(job, h, { table.unpack(sizes) }, wanted)
        end
        for _, size in ipairs(lists[n]) do
            sizes[n] = size
            grow(n + 1, sizes)
        end
    end
    grow(1, {})
    return h
end

local function sound_hypothesis(job, wanted)
    local h = hypothesis_of(job, {}, wanted)
    h.says, h.prior = "sound: nothing wrong that these readings show", SOUND
    return h
end

-- Anything at all may be read.
local function none_hypothesis(layout, sound)
    local h = { faults = {}, sizes = { {} }, prior = NONE, says = "none of these",
        predicted = sound.predicted, extra = { {} } }
    for k, row in ipairs(layout) do
        h.extra[1][k] = row.broad
    end
    return h
end

-- How far each reading may lie that has nothing to do with the pickup as it should be.
local function broaden(layout, sound)
    local largest = 1
    for k, row in ipairs(layout) do
        largest = BROAD[row.of.name] and largest or max(largest, abs(sound.predicted[1][k]))
    end
    for _, row in ipairs(layout) do
        row.broad = BROAD[row.of.name] or row.sign and 3 * max(largest, row.weak) or largest
    end
end

-- What one standard deviation of each tolerance does. Those of parts are left out of what needs strings, whose own
-- error hides them.
local function tolerance_rows(case, wanted, layout, sound)
    local rows = {}
    for n, tolerance in ipairs(bench.tolerances(case.job, case.faults)) do
        local some = tolerance.about == "parts" and bench.without_strings(wanted) or wanted
        local state = bench.state(case.job, { tolerance.fault }, { tolerance.size })
        local values, k = bench.predict(case.job, state, some), 0
        rows[n] = {}
        for i, row in ipairs(layout) do
            k = some[row.index] and k + 1 or k
            rows[n][i] = some[row.index] and not row.sign and values[k] - sound.predicted[1][i] or 0
        end
    end
    return rows
end

-- Weighs hypotheses, with "sound" and "none of these" beside them, on the wanted tests; answers sorted, likeliest
-- first.
local function weigh(case, hypotheses, wanted, information)
    local layout, taken, values = bench.layout(case.job, wanted, case.scatter), {}, {}
    local sound = sound_hypothesis(case.job, wanted)
    for k, row in ipairs(layout) do
        local value = case.taken[row.index] and case.taken[row.index][row.item]
        if value then
            taken[#taken + 1], values[#values + 1] = k, value
        end
    end
    broaden(layout, sound)
    local all = { sound, none_hypothesis(layout, sound), table.unpack(hypotheses) }
    local asked = { readings = layout, hypotheses = all, taken = taken, values = values,
        tolerances = tolerance_rows(case, wanted, layout, sound), information = information }
    local answers = core.weigh(asked)
    local bits = answers.bits
    for h, answer in ipairs(answers) do
        answer.of, answer.place = all[h], h
    end
    local none = answers[2].probability
    table.sort(answers, function(a, b)
        if a.probability ~= b.probability then
            return a.probability > b.probability
        end
        return a.place < b.place
    end)
    local numbers = 0 -- a sign that is right adds nothing to chi squared
    for _, k in ipairs(taken) do
        numbers = numbers + (layout[k].sign and 0 or 1)
    end
    local misfit = (answers[1].misfit - numbers) / math.sqrt(2 * max(1, numbers))
    return { answers = answers, layout = layout, bits = bits, slips = answers.slips, asked = asked,
        unexplained = none > UNEXPLAINED or misfit > MISFIT }
end

-- A prediction as its instrument would show it.
local function as_read(row, value)
    if not row.sign then
        return value
    end
    return value > row.weak and 1 or value < -row.weak and -1 or 0
end
bench.as_read = as_read

-- How far, in standard deviations, the readings that were taken part each answer from the likeliest: the misfit that it would
-- have if they were just what the likeliest predicts.
function bench.apart(now)
    local asked, first, values, hypotheses = now.asked, now.answers[1], {}, {}
    for n, k in ipairs(asked.taken) do
        values[n] = as_read(asked.readings[k], first.of.predicted[first.best][k])
    end
    for n, answer in ipairs(now.answers) do
        hypotheses[n] = answer.of
    end
    local list = {}
    for n, answer in ipairs(core.weigh({ readings = asked.readings, taken = asked.taken, tolerances = asked.tolerances,
        hypotheses = hypotheses, values = values })) do
        list[n] = math.sqrt(answer.misfit)
    end
    return list
end

local function singles(case, wanted)
    local list = {}
    for n, fault in ipairs(case.faults) do
        list[n] = hypothesis_of(case.job, { fault }, wanted, SIZES)
    end
    return list
end

-- All magnets reversed and one of them wrong as well is the same as that one differently wrong and the others reversed.
local function twice_told(a, b)
    return a.kind == "all_flipped" and b.target ~= nil and string.find(b.target, "^magnet") ~= nil
end

local function can_meet(a, b)
    return (a.target == nil or a.target ~= b.target) and not twice_told(a, b) and not twice_told(b, a)
end

-- The likeliest single faults, as a set.
local function likeliest(answers)
    local set, count = {}, 0
    for _, answer in ipairs(answers) do
        if #answer.of.faults == 1 and count < FIRSTS then
            set[answer.of.faults[1]], count = true, count + 1
        end
    end
    return set
end

-- Every pair of which one fault is of the set, at few sizes; with no set, every pair.
local function rough_pairs(case, wanted, firsts)
    local list = {}
    for i, a in ipairs(case.faults) do
        for j = i + 1, #case.faults do
            local b = case.faults[j]
            if (not firsts or firsts[a] or firsts[b]) and can_meet(a, b) then
                list[#list + 1] = hypothesis_of(case.job, { a, b }, wanted, SIZES_OF_PAIRS)
            end
        end
    end
    return list
end

-- The likeliest pairs at more sizes, then those that still count as they are.
local function pairs_of_faults(case, wanted, firsts)
    local rough, list = rough_pairs(case, wanted, firsts), {}
    for _, answer in ipairs(#rough > 0 and weigh(case, rough, wanted).answers or {}) do
        local pair = #answer.of.faults == 2 and answer.of
        if pair and #list < BEST_PAIRS then
            list[#list + 1] = hypothesis_of(case.job, pair.faults, wanted, SIZES_OF_BEST_PAIRS)
        elseif pair and answer.probability > COUNTS then
            list[#list + 1] = pair
        end
    end
    return list
end

-- Where pairs do not explain the readings: the likeliest of them with every third fault, the pair at its likeliest sizes.
local function rough_triples(case, wanted, answers)
    local list, firsts = {}, 0
    for _, answer in ipairs(answers) do
        local a, b = answer.of.faults[1], answer.of.faults[2]
        if b and firsts < THIRDS then
            firsts = firsts + 1
            for _, c in ipairs(case.faults) do
                if c ~= a and c ~= b and can_meet(a, c) and can_meet(b, c) then
                    list[#list + 1] = hypothesis_of(case.job, { a, b, c }, wanted, SIZES_OF_PAIRS, answer.of.sizes[answer.best])
                end
            end
        end
    end
    return list
end

-- By their faults, in whatever order they were put together.
local function key_of(faults)
    local names = {}
    for n, fault in ipairs(faults) do
        names[n] = fault.says
    end
    table.sort(names)
    return table.concat(names, "; ")
end

local function triples_of_faults(case, wanted, answers)
    local rough, list, told = rough_triples(case, wanted, answers), {}, {}
    for _, answer in ipairs(#rough > 0 and weigh(case, rough, wanted).answers or {}) do
        local key = key_of(answer.of.faults)
        if #answer.of.faults == 3 and not told[key] and #list < BEST_TRIPLES then
            told[key] = true
            list[#list + 1] = hypothesis_of(case.job, answer.of.faults, wanted, SIZES_OF_PAIRS)
        end
    end
    return list
end

local function tests_taken(case)
    local wanted = {}
    for t in ipairs(bench.tests) do
        wanted[t] = case.taken[t] ~= nil
    end
    return wanted
end

-- The survivors on every test that can still be taken.
local function look_ahead(case, answers)
    local wanted, list = bench.possible(case.job), {}
    for _, answer in ipairs(answers) do
        if #answer.of.faults > 0 and answer.probability > SURVIVES then
            list[#list + 1] = hypothesis_of(case.job, answer.of.faults, wanted,
                #answer.of.faults > 1 and SIZES_OF_PAIRS or SIZES_AHEAD)
        end
    end
    return weigh(case, list, wanted, true)
end

-- case { job, faults, taken }: what the readings say, and beside it what the survivors say of all tests.
function bench.weigh(case)
    local wanted = tests_taken(case)
    case.job.wants = { field = true, inductance = #case.job.coils > 0, signal = bench.needs_strings(wanted),
        blade = bench.wants_blade(wanted) }
    local list = singles(case, wanted)
    local alone = weigh(case, list, wanted)
    local firsts = not alone.unexplained and likeliest(alone.answers) or nil
    for _, pair in ipairs(pairs_of_faults(case, wanted, firsts)) do
        list[#list + 1] = pair
    end
    local now = weigh(case, list, wanted)
    if now.unexplained and #case.faults > 2 then
        for _, triple in ipairs(triples_of_faults(case, wanted, now.answers)) do
            list[#list + 1] = triple
        end
        now = weigh(case, list, wanted)
    end
    return now, look_ahead(case, now.answers)
end
