-- sweep.lua - builds and reads a pickup for every combination of some values.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local concat, huge = table.concat, math.huge
local type, tostring, pcall, error = core.type, core.tostring, core.pcall, core.error

local MOST = 100000 -- combinations

local function check_axis(axis, i, seen)
    local shape = 'sweep: \'vary\' takes axes such as {"angle", {0, 90, 180}}'
    if type(axis) ~= "table" or type(axis[1]) ~= "string" or type(axis[2]) ~= "table" then
        core.fail(shape .. "; number " .. i .. " is not one")
    elseif #axis[2] == 0 then
        core.fail("sweep: the axis '" .. axis[1] .. "' has no values")
    elseif seen[axis[1]] then
        core.fail("sweep: the axis '" .. axis[1] .. "' is there twice")
    end
    seen[axis[1]] = true
end

local function check_axes(vary)
    local seen, count = {}, 1
    if type(vary) ~= "table" or #vary == 0 then
        core.fail('sweep: \'vary\' is a list of axes, as in { {"angle", {0, 90, 180}} }')
    end
    for i, axis in ipairs(vary) do
        check_axis(axis, i, seen)
        count = count * #axis[2]
    end
    if count > MOST then
        core.fail("sweep: " .. count .. " combinations are more than " .. MOST)
    end
    return count
end

-- The values of combination i, counted from 0; the last axis runs fastest.
local function combination(vary, i)
    local values = {}
    for a = #vary, 1, -1 do
        local list = vary[a][2]
        values[vary[a][1]] = list[i % #list + 1]
        i = i // #list
    end
    return values
end

local function described(vary, values)
    local parts = {}
    for i, axis in ipairs(vary) do
        parts[i] = axis[1] .. " = " .. tostring(values[axis[1]])
    end
    return concat(parts, ", ")
end

-- What build and read get: asking for an axis that is not there is a slip.
local function guarded(vary, values)
    local names = {}
    for i, axis in ipairs(vary) do
        names[i] = axis[1]
    end
    return core.setmetatable(values, {
        __index = function(_, key)
            local near = core.nearest(tostring(key), names)
            core.fail("sweep: no axis '" .. tostring(key) .. "' is varied; "
                .. (near and "did you mean '" .. near .. "'?" or "there are " .. concat(names, ", ")))
        end,
        __metatable = "values of a sweep",
    })
end

-- Calls with the combination named in whatever goes wrong.
local function call(f, where, ...)
    local fine, result = pcall(f, ...)
    if fine then
        return result
    end
    if type(result) == "string" then
        result = result .. " (sweep: " .. where .. ")"
    end
    error(result, 0)
end

-- What read returned as a list of records.
local function records(result, where)
    if type(result) ~= "table" then
        core.fail("sweep: read returned " .. (result == nil and "nothing" or "a " .. type(result)) .. " at " .. where
            .. "; return fields, as in { bz_mt = ... }, or a table of results")
    end
    if core.columns_of(result) and #result > 0 or core.rawget(result, 1) ~= nil then
        return result
    end
    return { result }
end

-- Collects names in the order in which they are first met.
local function collector()
    local names, seen = {}, {}
    return names, function(name)
        if not seen[name] then
            seen[name] = true
            names[#names + 1] = name
        end
    end
end

-- Names of a record without an order of its own, sorted: Lua keeps none.
local function sorted_names(record)
    local names = {}
    for name in next, record do
        if type(name) ~= "string" then
            core.fail("sweep: read must return named values, as in { bz_mt = ... }")
        end
        names[#names + 1] = name
    end
    table.sort(names)
    return names
end

local function add_names(record, add)
    for _, name in ipairs(core.columns_of(record) or sorted_names(record)) do
        add(name)
    end
end

local function merged(vary, values, record, where)
    local row = {}
    for name, value in next, record do
        if type(value) == "number" and (value ~= value or value == huge or value == -huge) then
            core.fail("sweep: read returned " .. tostring(value) .. " for '" .. name .. "' at " .. where)
        elseif type(value) == "table" or type(value) == "function" then
            core.fail("sweep: read returned a " .. type(value) .. " for '" .. tostring(name) .. "' at "
                .. where .. "; return numbers and texts")
        end
        row[name] = value
    end
    for _, axis in ipairs(vary) do
        local value = values[axis[1]]
        row[axis[1]] = type(value) == "number" and value or tostring(value)
    end
    return row
end

-- ll.sweep{ vary = { {name, {values}}, ... }, build = f(values), read = f(pickup, values) }
-- Columns: the axes, then `columns` when given, then the order of a table of results that read returns, then names
-- sorted.
function ll.sweep(fields)
    local given = core.read("sweep", fields, "sweep")
    local vary, rows = given.vary, {}
    local count = check_axes(vary)
    local columns, add = collector()
    for _, axis in ipairs(vary) do
        add(axis[1])
    end
    for _, name in ipairs(core.list(given.columns)) do
        add(name)
    end
    for i = 0, count - 1 do
        local values = guarded(vary, combination(vary, i))
        local where = described(vary, values)
        core.progress("sweep", i / count)
        local pickup = call(given.build, where, values)
        for _, record in ipairs(records(call(given.read, where, pickup, values), where)) do
            add_names(record, add)
            rows[#rows + 1] = merged(vary, values, record, where)
        end
    end
    core.progress("sweep", 1)
    return ll.table({ title = given.title, columns = columns, rows = rows })
end
