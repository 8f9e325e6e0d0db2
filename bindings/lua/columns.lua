-- columns.lua - what the columns of readings count in and mean, as the readings bring it along. A reading is { of, name, call, gives, meaning, columns }, and a column { column, unit, error,
-- meaning }: error is "mesh", "model", "counted" or "none", the unit "text" for words.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local gsub = string.gsub

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

for _, reading in ipairs(core.readings) do
    learn(reading)
end

-- What is known of a sheet's column; nil in a table of a script's own. partial_3_mv is one of partial_N_mv.
function core.column_of(sheet, name)
    local columns = by_id[sheet.reading]
    return columns and (columns[name] or columns[gsub(name, "_%d+", "_N")]) or nil
end

-- The readings of that name, "poles" or "pickup.poles"; all that give a table without a name.
function core.readings_named(name)
    local list = {}
    for _, reading in ipairs(core.readings) do
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
