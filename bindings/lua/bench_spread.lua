-- bench_spread.lua - how far sound pickups of one description scatter: what each tolerance of parts and wire does to a
-- reading, to first order, added as squares.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local bench = core.bench

local new_table = core.declares("pickup", "spread", {
    { "reading", "text", "none", "name of the value in what read gave" },
    { "value", "", "model", "of the pickup as described" },
    { "from", "", "model", "95 of 100 sound ones lie from here" },
    { "to", "", "model", "to here" },
    { "most_by", "text", "model", "what spreads it most, and its share of the variance" },
    { "measured", "", "none", "as given" },
    { "off_by", "", "model", "measured against value, in standard deviations" },
    { "says", "text", "model", "what that means" },
})

-- Standard deviations. The resistance of fine wire may be 8 % off either way (IEC 60317-0-1 gives limits of the
-- diameter; two standard deviations are taken as the limit); the rest is common practice, no source.
local of_coils = {
    { says = "wire", sd = 0.04, field = "wire" },
    { says = "number of turns", sd = 0.01, field = "turns" },
    { says = "winding's shape and steel", sd = 0.03, field = "core" },
}
local CAPACITANCE = 0.15

local function of_coil(job, add, i)
    local label = #job.coils > 1 and ", coil " .. core.integer(i) or ""
    for _, tolerance in ipairs(of_coils) do
        add(tolerance.says .. label, "coil", function(state)
            local coil = state.coils[i]
            coil[tolerance.field] = coil[tolerance.field] * (1 + tolerance.sd)
        end)
    end
end

-- Every tolerance of a job as a fault of one standard deviation: { says, about, state or parts, size }.
function bench.tolerances(job, faults)
    local list = {}
    local function add(says, about, change)
        list[#list + 1] = { says = says, about = about, fault = { state = change, memo = {} } }
    end
    for _, fault in ipairs(faults) do
        if fault.spread then
            list[#list + 1] = { says = fault.tolerance, about = "parts", fault = fault,
                size = fault.sound + fault.spread }
        end
    end
    for i in ipairs(job.coils) do
        of_coil(job, add, i)
    end
    add("own capacitance", "coil", function(state)
        state.capacitance = state.capacitance * (1 + CAPACITANCE)
    end)
    return list
end

-- ---- p:spread ----

-- One value of each thing, in a row.
function bench.listed(things, value)
    local texts = {}
    for i, thing in ipairs(things) do
        texts[i] = core.tostring(value(thing))
    end
    return table.concat(texts, " ")
end

-- Tolerances of a description for any reading, as changes of its parts and coils. The resistance goes as one over the
-- square of the wire's diameter: half of its tolerance.
local function wire_thinner(coil)
    if not coil.wire then
        return coil
    end
    return coil:with({ wire = ll.wire({ bare = coil.wire:figures()[1].bare_mm * (1 - of_coils[1].sd / 2),
        build = coil.wire.build }) })
end

local HEIGHT = 0.15 -- mm
local described = {}

-- Each adds { says, parts or coils } to a list.
function described.wire(add, _, coils)
    for i, coil in ipairs(coils) do
        add("wire" .. (#coils > 1 and ", coil " .. core.integer(i) or ""), nil, i, wire_thinner(coil))
    end
end

function described.turns(add, _, coils)
    for i, coil in ipairs(coils) do
        add("number of turns" .. (#coils > 1 and ", coil " .. core.integer(i) or ""), nil, i,
            coil:with({ turns = coil.turns * (1 + of_coils[2].sd) }))
    end
end

-- A coil wound a little looser or tighter: two per cent of its build.
function described.winding(add, _, coils)
    for i, coil in ipairs(coils) do
        add("build of the winding" .. (#coils > 1 and ", coil " .. core.integer(i) or ""), nil, i,
            coil:with({ build = coil.build * 0.98 }))
    end
end

function described.magnets(add, parts)
    for i, part in ipairs(parts) do
        if bench.kind(part) == "magnet" then
            add("strength of " .. bench.label(part, i, "magnet"), i, nil, part:with({ charge = (part.charge
                or 1) * 0.96 }))
        end
    end
end

function described.heights(add, parts, _, poles, pickup)
    for _, i in ipairs(poles) do
        local step = core.travel(pickup, i, "down", HEIGHT) < HEIGHT and HEIGHT or -HEIGHT
        if step < 0 or core.travel(pickup, i, "up", HEIGHT) >= HEIGHT then
            add("height of " .. bench.label(parts[i], i, "pole"), i, nil, parts[i]:moved(0, 0, step))
        end
    end
end

-- What a tolerance is about, as a text: an unknown of a fit that changes it is known no better by knowing the tolerance.
local about = {
    wire = function(_, coils)
        return bench.listed(coils, function(coil)
            return coil.wire and coil.wire:figures()[1].bare_mm
        end)
    end,
    turns = function(_, coils)
        return bench.listed(coils, function(coil)
            return coil.turns
        end)
    end,
    winding = function(_, coils)
        return bench.listed(coils, function(coil)
            return coil.build
        end)
    end,
    magnets = function(parts)
        return bench.listed(parts, function(part)
            return core.tostring(part.material) .. " " .. core.tostring(part.charge)
        end)
    end,
    heights = function(parts)
        return bench.listed(parts, function(part)
            return bench.centre(part)[3]
        end)
    end,
}

local order = { "wire", "turns", "winding", "magnets", "heights" }

local function changes_of(pickup, wanted)
    local parts, coils, list = bench.parts_of(pickup), bench.flat(pickup.coils or {}), {}
    local function add(says, part, coil, thing)
        local own_parts, own_coils = { table.unpack(parts) }, { table.unpack(coils) }
        if part then
            own_parts[part] = thing
        else
            own_coils[coil] = thing
        end
        list[#list + 1] = { says = says, pickup = pickup:with({ parts = own_parts, coils = own_coils, accuracy = 20 }) }
    end
    for _, name in ipairs(wanted) do
        local describe = described[name] or core.fail("spread: the tolerances are " .. table.concat(order, ", "))
        local poles = core.poles(pickup)
        describe(add, parts, coils, poles, pickup)
    end
    return list
end

-- Of some tolerances (all of them: nil) those that two builds of a description do not set themselves.
function bench.tolerances_beside(wanted, a, b)
    local list = {}
    for _, name in ipairs(wanted or order) do
        local text = about[name] or core.fail("fit: the tolerances are " .. table.concat(order, ", "))
        if text(bench.parts_of(a), bench.flat(a.coils or {})) == text(bench.parts_of(b), bench.flat(b.coils or {})) then
            list[#list + 1] = name
        end
    end
    return list
end

bench.changes_of = changes_of

local function sorted_names(record)
    local names = {}
    for name in next, record do
        names[#names + 1] = name
    end
    table.sort(names)
    return names
end

-- One reading's row: its standard deviation, where 95 of 100 lie, and what does most of it.
local function row_of(name, value, shifts, measured)
    local sum, most = 0, nil
    for _, shift in ipairs(shifts) do
        sum = sum + shift.by ^ 2
        most = (not most or math.abs(shift.by) > math.abs(most.by)) and shift or most
    end
    local sd = math.sqrt(sum)
    local row = { reading = name, value = value, from = value - 2 * sd, to = value + 2 * sd,
        most_by = most and sd > 0 and most.says .. string.format(" (%.0f %%)", 100 * most.by ^ 2 / sum) or "nothing" }
    if measured then
        row.measured, row.off_by = measured, sd > 0 and (measured - value) / sd or nil
        row.says = math.abs(measured - value) <= 2 * sd and "within" or "outside"
    end
    return row
end

-- pickup:spread{ read = function(p) return {...} end, measured = {...}, of = {...} }
core.methods.pickup.spread = function(pickup, fields)
    local given = core.read("spread", fields, "spread")
    local function read(p)
        return core.named_numbers(given.read(p), "spread: read must return")
    end
    local measured, values = core.named_numbers(given.measured or {}, "spread: 'measured' holds"), read(pickup)
    local rough, changes = read(pickup:with({ accuracy = 20 })), changes_of(pickup, core.list(given.of or order))
    local t = new_table({ title = "spread",
        notes = { "from, to: where 95 of 100 sound ones lie. off_by: in standard deviations. most_by: what "
            .. "spreads it most, and",
            "its share of the variance." } })
    core.digits_by_row(t, "value", "from", "to", "measured")
    local shifts = {}
    for _, change in ipairs(changes) do
        for name, value in next, read(change.pickup) do
            shifts[name] = shifts[name] or {}
            table.insert(shifts[name], { says = change.says, by = value - rough[name] })
        end
    end
    for _, name in ipairs(sorted_names(values)) do
        t:add(row_of(name, values[name], shifts[name] or {}, measured[name]))
    end
    return t
end
