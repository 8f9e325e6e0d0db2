-- columns.lua - what the columns of tables count in and mean. Readings of the engine bring it along; what is made in Lua declares it beside
-- its maker. A reading is { of, name, columns }, and a column { column, unit, error, meaning }: error is "mesh", "model", "counted" or
-- "none", the unit "text" for words.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local gsub = string.gsub

local readings = { table.unpack(core.readings) }
local by_id = {} -- "pickup.poles": { bz_mt = {...}, ... }

local function id_of(reading)
    return reading.of .. "." .. reading.name
end

local function learn(reading)
    local columns = {}
    for _, column in ipairs(reading.columns) do
        columns[column.column] = column
    end
    by_id[id_of(reading)] = columns
end

for _, reading in ipairs(readings) do
    learn(reading)
end

local errors = { mesh = true, model = true, counted = true, none = true }

local function declared(id, row)
    local column = { column = row[1], unit = row[2], error = row[3], meaning = row[4] }
    local unit = core.unit(gsub(column.column, "_N_", "_1_"))
    if column.unit ~= unit and not (unit == "" and column.unit == "text") or not errors[column.error] or not column.meaning then
        core.fail("columns of " .. id .. ": '" .. column.column .. "' is declared wrongly")
    end
    return column
end

-- Declares the columns of a table that is made in Lua, each { name, unit, error, meaning }. Gives a function that makes one: it takes what
-- core.table takes, and where that names no columns it has all of them; and the list of all.
function core.declares(of, name, rows)
    local reading, all = { of = of, name = name, columns = {} }, {}
    for i, row in ipairs(rows) do
        reading.columns[i], all[i] = declared(id_of(reading), row), row[1]
    end
    readings[#readings + 1] = reading
    learn(reading)
    return function(fields)
        fields.columns = fields.columns or { table.unpack(all) }
        local t = core.table(fields)
        core.sheet_of(t, name).reading = id_of(reading)
        for _, column in ipairs(fields.columns) do
            if not core.column_of(core.sheet_of(t, name), column) then
                core.fail(name .. ": the column '" .. column .. "' is not declared")
            end
        end
        return t
    end, all
end

-- What is known of a sheet's column; nil in a table of a script's own. partial_3_mv is one of partial_N_mv.
function core.column_of(sheet, name)
    local columns = by_id[sheet.reading]
    return columns and (columns[name] or columns[gsub(name, "_%d+", "_N")]) or nil
end

-- The readings of that name, "poles" or "pickup.poles"; all that give a table without a name.
function core.readings_named(name)
    local list = {}
    for _, reading in ipairs(readings) do
        if #reading.columns > 0 and (name == nil or name == reading.name or name == id_of(reading)) then
            list[#list + 1] = reading
        end
    end
    return list
end

-- ll.columns([reading])
function ll.columns(name)
    local t = core.table({ title = "columns" .. (name and " of " .. core.tostring(name) or ""),
        columns = { "reading", "column", "unit", "error", "meaning" } })
    local list = core.readings_named(name)
    for _, reading in ipairs(list) do
        for _, column in ipairs(reading.columns) do
            t:add({ reading = id_of(reading), column = column.column, unit = column.unit, error = column.error,
                meaning = column.meaning })
        end
    end
    if #list == 0 then
        local names = {}
        for i, reading in ipairs(core.readings_named()) do
            names[i] = reading.name
        end
        core.nothing_named("columns", name, names)
    end
    return t
end
