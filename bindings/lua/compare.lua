-- compare.lua - ll.compare: two tables side by side, before and after, or the model and what was measured.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local abs, gsub = math.abs, string.gsub
local type = core.type

-- "z_ohm" of "before": "z_before_ohm", so that the unit stays at the end.
local function named(column, name)
    local unit = core.unit(column)
    if unit == "" then
        return column .. "_" .. name
    end
    return (gsub(column, "_([^_]+)$", "_" .. name .. "_%1"))
end

local function columns_of(t, what)
    return core.columns_of(t) or core.fail("compare: '" .. what .. "' must be a table of results, such as a reading gives")
end

local function is_in(list, name)
    for _, other in ipairs(list) do
        if other == name then
            return true
        end
    end
    return false
end

-- Columns with numbers that both have.
local function shared(before, after, by)
    local list, others = {}, columns_of(after, "after")
    for _, name in ipairs(columns_of(before, "before")) do
        if name ~= by and is_in(others, name) and before[1] and type(core.rawget(before[1], name)) == "number" then
            list[#list + 1] = name
        end
    end
    return list
end

local function check(columns, before, after)
    if #columns == 0 then
        core.fail("compare: the two tables share no column of numbers; take two readings of one kind")
    end
    for _, name in ipairs(columns) do
        if not is_in(columns_of(before, "before"), name) or not is_in(columns_of(after, "after"), name) then
            core.fail("compare: there is no column '" .. core.tostring(name) .. "' in both tables")
        end
    end
end

-- Rows of a table by the value that they belong together by.
local function rows_by(t, by)
    local rows = {}
    for _, row in ipairs(t) do
        local key = core.rawget(row, by)
        if key ~= nil then
            rows[key] = row
        end
    end
    return rows
end

-- dB, degrees and cents differ; anything else changes by so many per cent.
local differs = { dB = "db", degrees = "deg", cents = "cents", ["%"] = "percent" }

local function change_name(column)
    local unit = differs[core.unit(column)]
    return (unit and gsub(column, "_[^_]+$", "") .. "_change_" .. unit or gsub(column, "_[^_]+$", "") .. "_change_percent")
end

local function change(column, a, b)
    if differs[core.unit(column)] then
        return b - a
    end
    return a ~= 0 and 100 * (b / a - 1) or nil
end

local function add_row(t, by, key, columns, names, a, b)
    local row = { [by] = key }
    for _, column in ipairs(columns) do
        local x, y = core.rawget(a, column), core.rawget(b, column)
        row[named(column, names[1])], row[named(column, names[2])] = x, y
        if type(x) == "number" and type(y) == "number" then
            row[change_name(column)] = change(column, x, y)
        end
    end
    t:add(row)
end

-- ll.compare{ before = t1, after = t2 }
function ll.compare(fields)
    local given = core.read("compare", fields, "compare")
    local before, after = given.before, given.after
    local names = core.list_of_texts(core.list(given.names or { "before", "after" }), "names", "compare")
    local by = given.by or columns_of(before, "before")[1]
    local columns = given.columns and core.list(given.columns) or shared(before, after, by)
    check(columns, before, after)
    local heads = { by }
    for _, column in ipairs(columns) do
        table.move({ named(column, names[1]), named(column, names[2]), change_name(column) }, 1, 3, #heads + 1, heads)
    end
    local t = ll.table{ title = given.title or names[1] .. " and " .. names[2], columns = heads }
    local others, alone = rows_by(after, by), 0
    for _, row in ipairs(before) do
        local key = core.rawget(row, by)
        if key ~= nil and others[key] then
            add_row(t, by, key, columns, names, row, others[key])
        else
            alone = alone + 1
        end
    end
    if alone > 0 then
        t:note("rows of the first that the second has not, by " .. by .. ": " .. core.integer(alone))
    end
    return t
end
