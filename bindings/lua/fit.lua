-- fit.lua - ll.fit: one or two unknowns of a build found from readings, by bounded least squares.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local bench = core.bench
local abs, max = math.abs, math.max
local type = core.type

local new_table = core.declares("ll", "fit", {
    { "name", "text", "none", "of an unknown, or of a reading" },
    { "value", "", "model", "found, or read with what was found" },
    { "uncertainty", "", "model", "its standard deviation" },
    { "measured", "", "none", "as given" },
    { "off_by", "", "model", "measured against value, in standard deviations" },
})

local MOST_STEPS, STEP, CLOSE = 15, 0.02, 1e-4 -- the last two of an unknown's range
local USUAL_ERROR = 0.02                       -- of the measured value

local function check(given)
    if type(given.unknown) ~= "table" or #given.unknown == 0 then
        core.fail('fit: \'unknown\' is a list such as { {"turns", 5000, 9000} }')
    end
    for _, u in ipairs(given.unknown) do
        if type(u) ~= "table" or type(u[1]) ~= "string" or type(u[2]) ~= "number" or type(u[3]) ~= "number"
            or u[2] >= u[3] then
            core.fail('fit: each unknown is {"name", least, most}, as in {"turns", 5000, 9000}')
        end
    end
    if next(core.named_numbers(given.measured, "fit: 'measured' holds")) == nil then
        core.fail("fit: 'measured' holds named numbers, as in { dcr_ohm = 6900 }; there is none")
    end
    for name, sd in next, core.named_numbers(given.error or {}, "fit: 'error' holds") do
        if sd <= 0 then
            core.fail("fit: 'error' of '" .. name .. "' must be greater than zero")
        end
    end
end

-- Names of the measured values, sorted, with their standard deviations.
local function rows_of(given)
    local rows = {}
    for name, value in next, given.measured do
        local sd = given.error and given.error[name] or USUAL_ERROR * abs(value)
        rows[#rows + 1] = { name = name, value = value, sd = max(sd, 1e-12) }
    end
    table.sort(rows, function(a, b)
        return a.name < b.name
    end)
    return rows
end

local function build_at(given, x)
    local v = {}
    for k, u in ipairs(given.unknown) do
        v[u[1]] = x[k]
    end
    local pickup = given.build(v)
    if pickup == nil then
        core.fail("fit: build returned nothing; it must end with `return ll.pickup{...}`")
    end
    return pickup
end

local function values_of(given, rows, pickup)
    local read, list = given.read(pickup), {}
    if type(read) ~= "table" then
        core.fail("fit: read must return named numbers, as in { dcr_ohm = p:winding()[1].dcr_ohm }, not a " .. type(read))
    end
    for n, row in ipairs(rows) do
        local value = read[row.name]
        list[n] = type(value) == "number" and value
            or core.fail("fit: read returned no number named '" .. row.name .. "', which was measured")
    end
    return list
end

local function values_at(given, rows, x)
    return values_of(given, rows, build_at(given, x))
end

-- What is left of each reading and how it goes with each unknown, in standard deviations.
local function linearised(given, rows, x)
    local here, residual, jacobian = values_at(given, rows, x), {}, {}
    for n, row in ipairs(rows) do
        residual[n], jacobian[n] = (here[n] - row.value) / row.sd, {}
    end
    for k, u in ipairs(given.unknown) do
        local step = STEP * (u[3] - u[2])
        step = x[k] + step > u[3] and -step or step
        local there = { table.unpack(x) }
        there[k] = x[k] + step
        for n, value in ipairs(values_at(given, rows, there)) do
            jacobian[n][k] = (value - here[n]) / step / rows[n].sd
        end
    end
    return here, residual, jacobian
end

local function search(given, rows)
    local x, low, high = {}, {}, {}
    for k, u in ipairs(given.unknown) do
        low[k], high[k], x[k] = u[2], u[3], (u[2] + u[3]) / 2
    end
    for _ = 1, MOST_STEPS do
        local _, residual, jacobian = linearised(given, rows, x)
        local following, moved = core.step({ jacobian = jacobian, residual = residual, x = x, low = low, high = high,
            damping = 0.01 }), 0
        for k in ipairs(x) do
            moved = max(moved, abs(following[k] - x[k]) / (high[k] - low[k]))
        end
        x = following
        if moved < CLOSE then
            break
        end
    end
    return x
end

-- What each tolerance that no unknown settles does to the readings, in their standard deviations, and what it is called.
local function tolerances_at(given, rows, x)
    local there = {}
    for k, u in ipairs(given.unknown) do
        there[k] = x[k] + (x[k] > (u[2] + u[3]) / 2 and -STEP or STEP) * (u[3] - u[2])
    end
    local pickup = build_at(given, x)
    local names = bench.tolerances_beside(given.of and core.list(given.of), pickup, build_at(given, there))
    local rough, list = values_of(given, rows, pickup:with({ accuracy = 20 })), {}
    for n, change in ipairs(bench.changes_of(pickup, names)) do
        list[n] = { says = change.says }
        for i, value in ipairs(values_of(given, rows, change.pickup)) do
            list[n][i] = (value - rough[i]) / rows[i].sd
        end
    end
    return list
end

-- The tolerance that spreads the first unknown most.
local function note_most(t, jacobian, tolerances, sd)
    local most, named = (core.uncertainty(jacobian, {}) or sd)[1] ^ 2, "the readings"
    local readings = most
    for _, tolerance in ipairs(tolerances) do
        local by = core.uncertainty(jacobian, { tolerance })[1] ^ 2 - readings
        if by > most then
            most, named = by, "the " .. tolerance.says
        end
    end
    t:note(string.format("uncertainty: of the readings and of what the build takes as known; %.0f %% of the first one's variance comes "
        .. "from %s", 100 * most / sd[1] ^ 2, named))
end

local function note_ends(t, given, x)
    for k, u in ipairs(given.unknown) do
        if x[k] == u[2] or x[k] == u[3] then
            t:note("'" .. u[1] .. "' stands at the end of its range: the readings ask for more than that")
        end
    end
end

-- ll.fit{ unknown = { {name, least, most}, ... }, build = f(v), read = f(p), measured = {...}, error = {...} }
function ll.fit(fields)
    local given = core.read("fit", fields, "fit")
    check(given)
    local t = new_table({ title = "fit",
        notes = { "unknowns first, then the readings with the values found; off_by and uncertainty are standard "
            .. "deviations" } })
    core.digits_by_row(t, "value", "uncertainty", "measured")
    if core.run().check_mode then
        return t
    end
    local rows = rows_of(given)
    local x = search(given, rows)
    local here, residual, jacobian = linearised(given, rows, x)
    local tolerances = tolerances_at(given, rows, x)
    local sd = core.uncertainty(jacobian, tolerances)
    for k, u in ipairs(given.unknown) do
        t:add({ name = u[1], value = x[k], uncertainty = sd and sd[k] })
    end
    for n, row in ipairs(rows) do
        t:add({ name = row.name, value = here[n], uncertainty = row.sd, measured = row.value, off_by = -residual[n] })
    end
    if sd then
        note_most(t, jacobian, tolerances, sd)
    else
        t:note("these readings do not settle the unknowns: take another that depends on them")
    end
    note_ends(t, given, x)
    return t
end
