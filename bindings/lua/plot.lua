-- plot.lua - t:plot{...}: sorts the columns of a table of results into panels and curves, and has them drawn.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local abs, huge, max, min = math.abs, math.huge, math.max, math.min
local concat, format, gsub = table.concat, string.format, string.gsub
local type, tostring, rawget = core.type, core.tostring, core.rawget

local MOST_POINTS, MOST_CURVES, MOST_PANELS, MOST_NAMES = 200000, 60, 6, 60
local MARKS = { lines = 0, points = 1, stems = 2 }

-- Units that take a prefix on a linear axis, with those that the trade uses.
local PREFIXES = {
    F = { { 1e-12, "p" }, { 1e-9, "n" }, { 1e-6, "\u{b5}" } },
    H = { { 1e-6, "\u{b5}" }, { 1e-3, "m" } },
    Hz = { { 1e3, "k" }, { 1e6, "M" } },
    ohm = { { 1e3, "k" }, { 1e6, "M" } },
}
-- What is less than this over a whole panel is flat for an ear or a meter.
local AT_LEAST = { dB = 2, degrees = 10, cents = 1, ["%"] = 1 }
-- Names that are short in a table and can be longer on paper.
local LONGER = { f = "frequency" }

-- What several columns in a unit have in common.
local QUANTITY = { mT = "flux density", T = "flux density", G = "flux density", mV = "voltage", mm = "length" }

local function plain_name(column)
    local unit = core.unit(column)
    local name = unit == "" and column or gsub(column, "_[^_]*$", "")
    return (gsub(LONGER[name] or name, "_", " "))
end

local function labelled(name, unit)
    return unit == "" and name or name .. " (" .. unit .. ")"
end

-- The factor and the prefixed unit for values up to `largest`.
local function prefixed(unit, largest)
    local factor, text = 1, unit
    local small = PREFIXES[unit] and PREFIXES[unit][1][1] < 1
    for _, prefix in ipairs(PREFIXES[unit] or {}) do
        if small and factor == 1 and largest > 0 and largest < prefix[1] * 1000 then
            factor, text = prefix[1], prefix[2] .. unit
        elseif not small and largest >= 10 * prefix[1] then
            factor, text = prefix[1], prefix[2] .. unit
        end
    end
    return factor, text
end

local function has_numbers(sheet, column)
    for _, row in ipairs(sheet.rows) do
        if type(rawget(row, column)) == "number" then
            return true
        end
    end
    return false
end

local function check_column(sheet, name)
    for _, column in ipairs(sheet.columns) do
        if column == name then
            return name
        end
    end
    local near = core.nearest(tostring(name), sheet.columns)
    core.fail("plot: there is no column '" .. tostring(name) .. "'"
        .. (near and "; did you mean '" .. near .. "'?" or "; there are " .. concat(sheet.columns, ", ")))
end

-- The columns to draw: those asked for, or all with numbers that are not x, by or an axis of a sweep.
local function y_columns(sheet, given, x)
    local list, axes = {}, {}
    for _, axis in ipairs(sheet.axes or {}) do
        axes[axis] = true
    end
    if given.y ~= nil then
        for i, name in ipairs(type(given.y) == "table" and core.list(given.y) or { given.y }) do
            list[i] = check_column(sheet, name)
            if not has_numbers(sheet, name) then
                core.fail("plot: the column '" .. name .. "' has no numbers")
            end
        end
    else
        for _, column in ipairs(sheet.columns) do
            if column ~= x and column ~= given.by and not axes[column] and has_numbers(sheet, column) then
                list[#list + 1] = column
            end
        end
    end
    if #list == 0 then
        core.fail("plot: there is no column with numbers to draw; name one, as in y = \"bz_mt\"")
    end
    return list
end

-- Places 1, 2, 3 ... for the texts of a column, in the order in which they come.
local function name_places(sheet, x)
    local names, place = {}, {}
    for _, row in ipairs(sheet.rows) do
        local name = tostring(rawget(row, x))
        if not place[name] then
            names[#names + 1] = name
            place[name] = #names
        end
    end
    if #names > MOST_NAMES then
        core.fail("plot: '" .. x .. "' has " .. #names .. " different texts; more than " .. MOST_NAMES
            .. " cannot be read")
    end
    return names, place
end

local function group_label(by, value)
    if type(value) == "number" then
        local unit = core.unit(by)
        return plain_name(by) .. " " .. format("%.6g", value) .. (unit == "" and "" or " " .. unit)
    end
    return tostring(value)
end

-- The columns that tell curves apart: `by`, and the other axes of a sweep, along which a curve would jump.
local function keys_of(sheet, given, x, columns)
    local taken, keys = { [x] = true }, {}
    for _, column in ipairs(columns) do
        taken[column] = true
    end
    local function add(column)
        keys[#keys + 1] = not taken[column] and column or nil
        taken[column] = true
    end
    if given.by then
        taken[check_column(sheet, given.by)] = nil
        add(given.by)
    end
    for _, axis in ipairs(sheet.axes or {}) do
        add(axis)
    end
    return keys
end

-- The place of a value among those of its column so far, counted from 0.
local function place_of(seen, value)
    if not seen[value] then
        seen.count = (seen.count or 0) + 1
        seen[value] = seen.count
    end
    return seen[value] - 1
end

-- What a row's curve is called, and the places of its values along the keys.
local function group_of(row, keys, seen)
    local labels, places = {}, {}
    for k, key in ipairs(keys) do
        local value = rawget(row, key)
        value = value == nil and "-" or value
        labels[k], places[k] = group_label(key, value), place_of(seen[k], value)
    end
    return concat(labels, ", "), places
end

-- The rows of each curve, in the order in which they come: the first key gives its colour, the others its dashes.
local function groups_of(sheet, keys)
    if #keys == 0 then
        return { { label = "", rows = sheet.rows, colour = 0, dash = 0 } }
    end
    local groups, at, seen = {}, {}, {}
    for k = 1, #keys do
        seen[k] = {}
    end
    for _, row in ipairs(sheet.rows) do
        local label, places = group_of(row, keys, seen)
        if not at[label] then
            local dash = places[1] // 7
            for k = 2, #places do
                dash = dash + places[k]
            end
            groups[#groups + 1] = { label = label, rows = {}, colour = places[1], dash = dash }
            at[label] = groups[#groups]
        end
        at[label].rows[#at[label].rows + 1] = row
    end
    return groups
end

-- Least and largest number of some columns; the least of those above 0.
local function extent(sheet, columns)
    local low, high, largest = huge, -huge, 0
    for _, row in ipairs(sheet.rows) do
        for _, column in ipairs(columns) do
            local value = rawget(row, column)
            if type(value) == "number" then
                low, high, largest = min(low, value), max(high, value), max(largest, abs(value))
            end
        end
    end
    return low, high, largest
end

local function log_axes(sheet, given, x, by_name)
    local low, high = extent(sheet, { x })
    local of_itself = core.unit(x) == "Hz" and low > 0 and high >= 10 * low
    local log_x = not by_name and (given.log == "x" or given.log == "xy" or given.log == nil and of_itself)
    if log_x and low <= 0 then
        core.fail("plot: a logarithmic axis has no place for " .. format("%.6g", low) .. " of '" .. x .. "'")
    end
    return log_x, given.log == "y" or given.log == "xy"
end

-- Columns in the same unit share a panel; a column without unit has one of its own.
local function panels_of(sheet, columns, log_y, mark)
    local panels, at = {}, {}
    for _, column in ipairs(columns) do
        local unit = core.unit(column)
        local key = unit == "" and column or unit
        if not at[key] then
            at[key] = { unit = unit, columns = {} }
            panels[#panels + 1] = at[key]
        end
        at[key].columns[#at[key].columns + 1] = column
    end
    for _, panel in ipairs(panels) do
        local low, _, largest = extent(sheet, panel.columns)
        if log_y and low <= 0 then
            core.fail("plot: a logarithmic axis has no place for " .. format("%.6g", low) .. " of '"
                .. concat(panel.columns, "' or '") .. "'")
        end
        panel.factor, panel.shown = 1, panel.unit
        if not log_y then
            panel.factor, panel.shown = prefixed(panel.unit, largest)
        end
        local name = #panel.columns == 1 and plain_name(panel.columns[1]) or QUANTITY[panel.unit]
        panel.label = name and labelled(name, panel.shown) or panel.shown
        panel.log, panel.at_least, panel.degrees = log_y, AT_LEAST[panel.unit], panel.unit == "degrees"
        panel.from_zero = mark == MARKS.stems and panel.unit ~= "dB"
    end
    return panels
end

-- Numbers of a column, false for gaps.
local function values(rows, column, factor, place)
    local list = {}
    for i, row in ipairs(rows) do
        local value = rawget(row, column)
        list[i] = place and place[tostring(value)] or type(value) == "number" and value / factor or false
    end
    return list
end

-- With groups, colours tell these apart and dashes the columns of a panel; else colours tell the columns apart.
local function add_curves(panel, groups, x, x_factor, place)
    panel.curves = {}
    for _, group in ipairs(groups) do
        for c, column in ipairs(panel.columns) do
            panel.curves[#panel.curves + 1] = {
                x = values(group.rows, x, x_factor, place), y = values(group.rows, column, panel.factor),
                colour = #groups > 1 and group.colour or c - 1,
                dash = #groups > 1 and c - 1 + group.dash or (c - 1) // 7,
            }
        end
    end
end

local function legend(panels, groups)
    local entries = {}
    if #groups > 1 then
        for g, group in ipairs(groups) do
            entries[g] = { text = group.label, colour = group.colour, dash = group.dash }
        end
    end
    for _, panel in ipairs(panels) do
        for c, column in ipairs(#panel.columns > 1 and panel.columns or {}) do
            entries[#entries + 1] = { text = plain_name(column), plain = #groups > 1,
                colour = c - 1, dash = #groups > 1 and c - 1 or (c - 1) // 7 }
        end
    end
    return entries
end

local function check_size(sheet, panels, groups, columns)
    local curves, points = #groups * #columns, #sheet.rows * #columns
    if #panels > MOST_PANELS or curves > MOST_CURVES or points > MOST_POINTS then
        core.fail("plot: " .. curves .. " curves with " .. points .. " points in " .. #panels
            .. " units are too many for one picture; name fewer columns in 'y'")
    end
end

-- What the picture shows, in words.
local function in_words(plot, entries)
    local parts = { "x: " .. plot.x_label }
    for _, panel in ipairs(plot.panels) do
        parts[#parts + 1] = "y: " .. panel.label
    end
    for _, entry in ipairs(entries) do
        parts[#parts + 1] = entry.text
    end
    return concat(parts, "; ")
end

function core.methods.table.plot(t, fields)
    local sheet = core.sheet_of(t, "plot")
    local given = core.read("plot", fields, "plot")
    if #sheet.rows == 0 then
        core.fail("plot: the table is empty")
    end
    local x = given.x and check_column(sheet, given.x) or sheet.columns[1]
    local by_name = not has_numbers(sheet, x)
    local mark = MARKS[given.style or by_name and "stems" or "lines"]
    local columns = y_columns(sheet, given, x)
    local groups = groups_of(sheet, keys_of(sheet, given, x, columns))
    local log_x, log_y = log_axes(sheet, given, x, by_name)
    local panels = panels_of(sheet, columns, log_y, mark)
    check_size(sheet, panels, groups, columns)
    local names, place
    if by_name then
        names, place = name_places(sheet, x)
    end
    local _, _, largest = extent(sheet, { x })
    local factor, unit = 1, core.unit(x)
    if not log_x then
        factor, unit = prefixed(unit, largest)
    end
    for _, panel in ipairs(panels) do
        add_curves(panel, groups, x, factor, place)
    end
    local entries = legend(panels, groups)
    local plot = { file = given.file, title = given.title or sheet.title, x_label = labelled(plain_name(x), unit),
        x_log = log_x, x_names = names, mark = mark, panels = panels, entries = entries, width = given.width or 180,
        height = given.height or 60 + 50 * #panels }
    plot.words = in_words(plot, entries)
    core.draw_plot(plot)
end
