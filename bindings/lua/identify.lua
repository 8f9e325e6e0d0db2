-- identify.lua - ll.identify: what a pickup without a drawing is likely to be, from what meters and a caliper say of it.
--
-- Usual constructions are built to the sizes that were measured, solved once for each kind of magnet, and every wire, number of turns
-- and charge is a hypothesis with what the meters would read; bench/weigh does the rest. What is usual is common practice, no source.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local bench = core.bench
local log, exp, format = math.log, math.exp, string.format

local TURNS, CHARGES = 24, 6      -- points of a hypothesis
local LEAST_FILL, MOST_FILL = 0.35, 0.9 -- of the window, by insulated wire as squares
local LEAST_CHARGE = 0.45
local PROBE, FREQUENCY, REFERENCE_TURNS, ACCURACY = 1, 1000, 1000, 10
local OWN_C, USUAL_CABLE, SPACING = 60e-12, 500e-12, 10.4
local SHOWN, WORTH_SAYING, WORTH_TAKING = 6, 0.02, 0.02

-- Wires by how often they are met, gauges of the trade.
local wires = { { 40, 0.06 }, { 41, 0.09 }, { 42, 0.5 }, { 43, 0.22 }, { 44, 0.13 } }

local function six(fields)
    return ll.row{ count = 6, spacing = SPACING, part = ll.rod(fields) }
end

-- Each: how often it is met, its magnets, whether it has two coils, the opening beyond the poles, and its parts under a winding of height h
-- whose upper face is at z = -2.
local constructions = {
    { looks = "rods", says = "six magnet rods in one coil", often = 0.3, magnets = { "AlNiCo 5", "AlNiCo 2", "AlNiCo 3" }, pole = 4.8, wall = 0.4,
        parts = function(s, magnet)
            return { six{ diameter = s.pole, length = s.height + 6, at = { 0, 0, -(s.height + 6) / 2 }, material = magnet, north = "+z" } }
        end },
    { looks = "poles over a bar", says = "six steel poles in one coil, a bar below", often = 0.1, magnets = { "ferrite C5", "AlNiCo 5" }, pole = 4.8,
        wall = 1.5, parts = function(s, magnet)
            return { six{ diameter = s.pole, length = s.height + 4, at = { 0, 0, -(s.height + 4) / 2 }, material = "steel 1010" },
                ll.block{ size = { 60, 12, 4 }, at = { 0, 0, -(s.height + 4) - 2.05 }, material = magnet, north = "+z", pole = false } }
        end },
    { looks = "poles between bars", says = "six steel poles in one coil, two bars beside them below", often = 0.2,
        magnets = { "AlNiCo 5", "AlNiCo 2", "ferrite C5" }, pole = 4.8, wall = 1.5, parts = function(s, magnet)
            local z = -(s.height + 2) - 2
            local bar = ll.block{ size = { 63, 12, 3.2 }, at = { 0, s.pole / 2 + 6.3, z }, material = magnet, north = "-y", pole = false }
            return { six{ diameter = s.pole, length = s.height + 6, at = { 0, 0, -(s.height + 6) / 2 }, material = "steel 1010" },
                bar, bar:with{ at = { 0, -s.pole / 2 - 6.3, z }, north = "+y" } }
        end },
    { looks = "two coils", says = "two coils with steel poles, a bar between them below", often = 0.3, magnets = { "AlNiCo 5", "AlNiCo 2", "ferrite C5" },
        pole = 4.8, wall = 1.5, two = true, parts = function(s, magnet)
            local y, z = s.width / 2, -(s.height + 6) / 2
            local row = six{ diameter = s.pole, length = s.height + 6, at = { 0, y, z }, material = "steel 1010" }
            return { row, six{ diameter = s.pole, length = s.height + 6, at = { 0, -y, z }, material = "steel 1010" },
                ll.block{ size = { 62, 2 * y - s.pole - 0.6, 3.2 }, at = { 0, 0, -(s.height + 3.9) }, material = magnet, north = "+y", pole = false } }
        end },
    { looks = "blade", says = "a steel blade in one coil, a bar on each side below", often = 0.1, magnets = { "ferrite C5", "AlNiCo 5" }, pole = 3,
        wall = 1.5, blade = true, parts = function(s, magnet)
            local z = -(s.height + 2) - 2.5
            local bar = ll.block{ size = { 60, 8, 4 }, at = { 0, s.pole / 2 + 4.3, z }, material = magnet, north = "-y", pole = false }
            return { ll.block{ size = { s.opening[1] - 1, s.pole, s.height + 7 }, at = { 0, 0, -(s.height + 7) / 2 }, material = "steel 1010", pole = true },
                bar, bar:with{ at = { 0, -s.pole / 2 - 4.3, z }, north = "+y" } }
        end },
}

-- ---- builds ----

-- Sizes of one build from the caliper's; nothing when the winding is narrower than its poles.
local function sizes_of(c, given)
    local coil, pole = given.coil, given.pole or c.pole
    local opening = pole + 2 * c.wall
    local build = (coil[2] - opening) / 2
    return build > 0.5 and coil[1] - 2 * build > pole and { pole = pole, length = coil[1], width = coil[2], height = coil[3],
        opening = { coil[1] - 2 * build, opening }, build = build } or nil
end

local function coils_of(c, s)
    local coil = ll.coil{ turns = REFERENCE_TURNS, wire = ll.awg(42), opening = s.opening, build = s.build, height = s.height,
        at = { 0, c.two and s.width / 2 or 0, -2 - s.height / 2 } }
    return c.two and { coil, coil:with{ at = { 0, -s.width / 2, -2 - s.height / 2 }, hand = "cw" } } or { coil }
end

-- What meters read of a build with the reference turns of AWG 42, fully charged.
local function reference(c, s, magnet, probe)
    local p = ll.pickup{ parts = c.parts(s, magnet), coils = coils_of(c, s), accuracy = ACCURACY }
    local y, row, sheet = c.two and s.width / 2 or 0, p:impedance{ f = FREQUENCY }[1], p:winding()[1]
    return { henry = row.l_h, ohm = sheet.dcr_ohm, mt = math.abs(p:field{ { SPACING / 2 * (c.blade and 0 or 1), y, probe } }[1].bz_mt) }
end

-- ---- readings ----

-- On a logarithmic scale. `tolerances`: what one standard deviation of each does; those of one name are the same thing.
local tests = {
    { name = "dcr", says = "dc resistance", own = 0.005, minutes = 1, tolerances = { wire = 0.04, sizes = 0.02 } },
    { name = "inductance", says = "inductance at 1 kHz", own = 0.02, minutes = 2, tolerances = { core = 0.08, sizes = 0.03 } },
    { name = "gauss", says = "gauss meter over the poles", own = 0.05, minutes = 3, tolerances = { grade = 0.12 } },
    { name = "resonance", says = "peak with its load", own = 0.02, minutes = 10, tolerances = { core = -0.04, sizes = -0.015, capacitance = -0.03 } },
    { name = "bare", says = "diameter of the bare wire, by micrometer", own = 0.04, minutes = 15, tolerances = { wire = -0.02 } },
}

local function mean_of(list)
    local sum = 0
    for _, value in ipairs(list) do
        sum = sum + math.abs(value)
    end
    return sum / #list
end

local taken = {}
function taken.dcr(given)
    return given.dcr
end
function taken.inductance(given)
    return given.inductance
end
function taken.gauss(given)
    return core.length_of(given.gauss) and math.max(mean_of(core.list(given.gauss)), 1) / 10
end
function taken.resonance(given)
    return given.peak
end
function taken.bare(given)
    return given.bare
end

-- What each test would read, by its logarithm.
local function predicted(c, at, wire, turns, charge, cable)
    local n = turns / REFERENCE_TURNS
    local henry, ohm = at.henry * n ^ 2, at.ohm * n * wire.ohm_over_42
    return { log(ohm), log(henry), log(math.max(at.mt * charge, 0.1)), log(core.resonance(henry, OWN_C + cable)), log(wire.bare) }
end

-- ---- hypotheses ----

local function wire_of(gauge, often)
    local figures, own = ll.awg(gauge):figures()[1], ll.awg(42):figures()[1]
    return { says = format("AWG %.0f", gauge), often = often, bare = figures.bare_mm, outer = figures.outside_mm,
        ohm_over_42 = figures.per_m_ohm / own.per_m_ohm }
end

local function places(count)
    local list = {}
    for k = 1, count do
        list[k] = k
    end
    return list
end

local function hypothesis(c, s, at, magnet, wire, cable)
    local h = { of = c, magnet = magnet, wire = wire, turns = {}, charge = {}, predicted = {}, prior = c.often / #c.magnets * wire.often,
        grid = { places(TURNS), places(CHARGES) } }
    local window = s.build * s.height / wire.outer ^ 2
    for k = 1, TURNS do
        local turns = window * (LEAST_FILL + (MOST_FILL - LEAST_FILL) * (k - 0.5) / TURNS)
        for j = 1, CHARGES do
            local n = #h.predicted + 1
            h.turns[n], h.charge[n] = turns, LEAST_CHARGE + (1 - LEAST_CHARGE) * (j - 0.5) / CHARGES
            h.predicted[n] = predicted(c, at, wire, turns, h.charge[n], cable)
        end
    end
    return h
end

local function fitting(looks)
    local list = {}
    for _, c in ipairs(constructions) do
        list[#list + 1] = (looks == nil or looks == c.looks) and c or nil
    end
    return list
end

local function hypotheses_of(given, cable)
    local list = {}
    for _, c in ipairs(fitting(given.looks)) do
        local s = sizes_of(c, given)
        for _, magnet in ipairs(s and c.magnets or {}) do
            -- What does not fit into these sizes nobody can have built.
            local fits, at = core.pcall(reference, c, s, magnet, given.probe or PROBE)
            for _, wire in ipairs(fits and wires or {}) do
                list[#list + 1] = hypothesis(c, s, at, magnet, wire_of(wire[1], wire[2]), cable)
            end
        end
    end
    return #list > 0 and list or core.fail("identify: 'coil' is the winding's outer {length, width, height}; no usual poles fit into one of this "
        .. "width: measure it again, or say what is there by 'looks' and 'pole'")
end

-- One row for each tolerance, over all tests.
local function tolerance_rows()
    local rows, by_name = {}, {}
    for t, test in ipairs(tests) do
        for name, sd in next, test.tolerances do
            by_name[name] = by_name[name] or { name = name }
            by_name[name][t] = sd
        end
    end
    for _, row in next, by_name do
        for t in ipairs(tests) do
            row[t] = row[t] or 0
        end
        rows[#rows + 1] = row
    end
    table.sort(rows, function(a, b)
        return a.name < b.name
    end)
    return rows
end

local function weigh(given)
    local asked = { readings = {}, taken = {}, values = {}, tolerances = tolerance_rows(), information = true }
    for t, test in ipairs(tests) do
        local value = taken[test.name](given)
        asked.readings[t] = { test = t, absolute = test.own, broad = 1 }
        if value then
            asked.taken[#asked.taken + 1], asked.values[#asked.values + 1] = t, log(value)
        end
    end
    asked.hypotheses = hypotheses_of(given, given.cable or USUAL_CABLE)
    return asked, core.weigh(asked)
end

-- ---- tables ----

-- Sums over answers that share a key: probability, and mean and spread of turns and charge.
local function gathered(asked, answers, key)
    local list, by_key = {}, {}
    for h, answer in ipairs(answers) do
        local of = asked.hypotheses[h]
        local name = key(of)
        local sum = by_key[name]
        if not sum then
            sum = { of = of, probability = 0, turns = 0, turns_2 = 0, charge = 0 }
            by_key[name], list[#list + 1] = sum, sum
        end
        sum.probability = sum.probability + answer.probability
        for p, share in ipairs(answer.shares) do
            local weight, width = answer.probability * share, of.turns[1 + CHARGES] - of.turns[1]
            sum.turns, sum.charge = sum.turns + weight * of.turns[p], sum.charge + weight * of.charge[p]
            sum.turns_2 = sum.turns_2 + weight * (of.turns[p] ^ 2 + width ^ 2 / 12)
        end
    end
    table.sort(list, function(a, b)
        return a.probability > b.probability
    end)
    return list
end

local function turns_of(sum)
    local mean = sum.turns / sum.probability
    local sd = math.sqrt(math.max(0, sum.turns_2 / sum.probability - mean ^ 2))
    return mean, math.max(0, mean - 2 * sd), mean + 2 * sd
end

local function is_worth(rank, sum)
    return rank == 1 or rank <= SHOWN and sum.probability > WORTH_SAYING
end

local new_builds = core.declares("identify", "builds", {
    { "rank", "", "counted", "1 for the likeliest" },
    { "build", "text", "none", "construction" },
    { "magnet", "text", "none", "grade" },
    { "charge", "", "model", "of what the grade can hold" },
    { "probability_percent", "%", "model", "that it is this, of usual constructions of these sizes" },
})
local new_wires = core.declares("identify", "wires", {
    { "rank", "", "counted", "1 for the likeliest" },
    { "wire", "text", "none", "gauge" },
    { "turns", "", "model", "of each coil" },
    { "from", "", "model", "95 of 100 lie from here, if it is that wire" },
    { "to", "", "model", "to here" },
    { "probability_percent", "%", "model", "that it is this wire" },
})
local new_next = core.declares("identify", "next", {
    { "take", "text", "none", "the reading to take" },
    { "settles_bits", "", "model", "expected information about which build it is; one bit halves the doubt" },
    { "minutes", "", "none", "what it takes" },
})

local function table_of_builds(asked, answers)
    local t = new_builds{ title = "What it may be", notes = { "of usual constructions built to these sizes; how often "
        .. "each is met is common practice, no source. charge: of what the grade can hold." } }
    for rank, sum in ipairs(gathered(asked, answers, function(h)
        return h.of.says .. h.magnet
    end)) do
        if is_worth(rank, sum) then
            t:add{ rank = rank, build = sum.of.of.says, magnet = sum.of.magnet, charge = sum.charge / sum.probability,
                probability_percent = 100 * sum.probability }
        end
    end
    return t
end

local function table_of_wires(asked, answers)
    local t = new_wires{ title = "Wire and turns", notes = { "turns of each coil; from, to: where 95 of 100 lie, if it is "
        .. "that wire." } }
    for rank, sum in ipairs(gathered(asked, answers, function(h)
        return h.wire.says
    end)) do
        if is_worth(rank, sum) then
            local mean, from, to = turns_of(sum)
            t:add{ rank = rank, wire = sum.of.wire.says, turns = mean, from = from, to = to, probability_percent = 100 * sum.probability }
        end
    end
    return t
end

local function table_of_next(asked, answers)
    local t, is_taken, rows = new_next{ title = "What to measure next", notes = { "settles_bits: expected "
        .. "information; one bit halves the doubt. What settles most a minute comes first." } }, {}, {}
    for _, k in ipairs(asked.taken) do
        is_taken[k] = true
    end
    for k, test in ipairs(tests) do
        if not is_taken[k] and answers.bits[k] > WORTH_TAKING then
            rows[#rows + 1] = { take = test.says, settles_bits = answers.bits[k], minutes = test.minutes }
        end
    end
    table.sort(rows, function(a, b)
        return a.settles_bits / a.minutes > b.settles_bits / b.minutes
    end)
    for _, row in ipairs(rows) do
        t:add(row)
    end
    return t
end

-- ll.identify{ coil = {length, width, height}, dcr =, inductance =, ... }: three tables.
function ll.identify(fields)
    local given = core.read("identify", fields, "identify")
    if core.run().check_mode then
        return new_builds{ title = "What it may be" }, new_wires{ title = "Wire and turns" }, new_next{ title = "What to measure next" }
    end
    local asked, answers = weigh(given)
    return table_of_builds(asked, answers), table_of_wires(asked, answers), table_of_next(asked, answers)
end
