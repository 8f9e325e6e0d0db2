-- format.lua - a result table as text, CSV, Markdown or JSON.
-- A sheet is { title, columns = {name, ...}, rows = {record, ...}, notes = {text, ...} }.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...
local abs, floor, huge, log, max, min = math.abs, math.floor, math.huge, math.log, math.max, math.min
local concat, rep = table.concat, string.rep
local byte, find, format, gsub = string.byte, string.find, string.format, string.gsub
local type, tostring = core.type, core.tostring

local SIGNIFICANT = 4 -- digits of the largest value in print: results are good to some 0.3 %

-- Decimals beyond which no instrument and no ear tells values apart, by unit.
local MOST_DECIMALS = { ["%"] = 1, cents = 1, dB = 2, G = 0, off_by = 2, apart_sd = 1 }

-- Units of what is solved on a mesh; lengths and frequencies were given.
local SOLVED = { mT = true, T = true, G = true, mWb = true, mV = true, H = true, mN = true }

-- Columns in the same unit share their digits, so that bx beside bz does not show noise.
local function group_of(column)
    local unit = core.unit(column)
    return unit == "" and column or unit
end

-- For each group of columns: how many, the largest and the smallest magnitude that is no rounding beside it, and
-- the values.
local function survey(sheet)
    local groups = {}
    for _, column in ipairs(sheet.columns) do
        local name = group_of(column)
        groups[name] = groups[name] or { columns = 0, largest = 0, smallest = huge, values = {} }
        local group = groups[name]
        group.columns = group.columns + 1
        for _, row in ipairs(sheet.rows) do
            local value = core.rawget(row, column)
            if type(value) == "number" then
                group.largest = max(group.largest, abs(value))
                group.values[#group.values + 1] = value
            end
        end
    end
    for _, group in next, groups do
        for _, value in ipairs(group.values) do
            if abs(value) > 1e-6 * group.largest then
                group.smallest = min(group.smallest, abs(value))
            end
        end
    end
    return groups
end

local function exact_with(decimals, group)
    local scale = 10 ^ decimals
    for _, value in ipairs(group.values) do
        if abs(value * scale - floor(value * scale + 0.5)) > 1e-9 * scale * group.largest then
            return false
        end
    end
    return true
end

local function is_monotonic(values)
    local direction = 0
    for i = 2, #values do
        local step = values[i] - values[i - 1]
        if step * direction < 0 then
            return false
        end
        direction = step ~= 0 and step or direction
    end
    return true
end

-- A column by itself that runs through decades, such as frequencies: each value with digits of its own. Where values
-- go up and down, the small ones are the rest of what cancelled, and their digits say nothing.
local function is_wide(group)
    return group.columns == 1 and group.largest > 1000 * group.smallest and is_monotonic(group.values)
end

local function pattern_for_value(value)
    local magnitude = abs(value)
    if magnitude ~= 0 and (magnitude < 1e-4 or magnitude >= 1e9) then
        return format("%%.%de", SIGNIFICANT - 1)
    end
    local exponent = value == 0 and 0 or floor(log(magnitude, 10) + 1e-12)
    for decimals = 0, SIGNIFICANT - 1 - exponent do
        if exact_with(decimals, { largest = magnitude, values = { value } }) then
            return format("%%.%df", decimals)
        end
    end
    return format("%%.%df", max(0, SIGNIFICANT - 1 - exponent))
end

-- Decimals of the first digit that an error touches: what stands behind it says nothing (GUM, JCGM 100:2008, 7.2.6).
local function decimals_of_error(group, name, error)
    if not SOLVED[name] or (error or 0) == 0 then
        return huge
    end
    return max(0, -floor(log(error * group.largest, 10)))
end

-- The printf format of a group: fixed decimals, no more than its values need and the error allows.
local function pattern_for(group, name, error)
    if group.largest == 0 then
        return "%.0f"
    end
    local exponent = floor(log(group.largest, 10) + 1e-12)
    if (exponent < -4 or exponent > 8) and not MOST_DECIMALS[name] then
        return format("%%.%de", SIGNIFICANT - 1)
    end
    local most = min(max(0, SIGNIFICANT - 1 - exponent), MOST_DECIMALS[name] or huge,
        decimals_of_error(group, name, error))
    for decimals = 0, most - 1 do
        if exact_with(decimals, group) then
            return format("%%.%df", decimals)
        end
    end
    return format("%%.%df", most)
end

local function without_minus_zero(text)
    return (gsub(text, "^%-([0.]+)$", "%1"))
end

-- The rows of some tables are different things, each with a value in a unit of its own: then what those columns hold shares
-- its digits along the row.
local function row_pattern(sheet, row)
    local group = { largest = 0, values = {} }
    for column in next, sheet.by_row do
        local value = core.rawget(row, column)
        if type(value) == "number" then
            group.largest = max(group.largest, abs(value))
            group.values[#group.values + 1] = value
        end
    end
    return pattern_for(group, "", nil)
end

-- Columns of a table whose digits go by the row.
function core.digits_by_row(t, ...)
    local set = {}
    for _, column in ipairs({ ... }) do
        set[column] = true
    end
    core.sheet_of(t, "digits").by_row = set
    return t
end

-- A function (value, column, row) -> text for print.
local function printer(sheet)
    local patterns = {}
    for name, group in next, survey(sheet) do
        patterns[name] = is_wide(group) and "wide" or pattern_for(group, name, sheet.digits)
    end
    return function(value, column, row)
        if value == nil then
            return "-"
        elseif type(value) == "number" then
            local pattern = sheet.by_row and sheet.by_row[column] and row_pattern(sheet, row)
                or patterns[group_of(column)]
            return without_minus_zero(format(pattern == "wide" and pattern_for_value(value) or pattern, value))
        end
        return (gsub(tostring(value), "%c+", " ")) -- a cell is a single line
    end
end

-- Of what is solved, no digit beyond the seventh of the group's largest value, nor beyond a hundredth of its error: behind them stands
-- rounding, which another processor does otherwise.
local function stable(value, group, error)
    local scale = 10 ^ -floor(log(group.largest * max(1e-7, (error or 0) / 100), 10))
    return floor(value * scale + 0.5) / scale
end

-- Whether a column's values come from the mesh: by what is declared of it, or by its unit in a table of a script's own.
local function is_solved(sheet, column)
    local known = core.column_of(sheet, column)
    return known and known.error == "mesh" or not known and SOLVED[core.unit(column)]
end

-- A function (value, column) -> text for further work: seven digits, where they are stable; what is rounding beside the rest of its
-- group is zero, so that every bench writes the same file.
local function exporter(sheet)
    local groups = survey(sheet)
    return function(value, column)
        if type(value) ~= "number" then
            return tostring(value)
        end
        local group = groups[group_of(column)]
        if abs(value) < 1e-9 * group.largest then
            return "0"
        end
        return without_minus_zero(format("%.7g", is_solved(sheet, column) and stable(value, group, sheet.digits) or value))
    end
end

local function width(text)
    return utf8.len(text) or #text
end

local function pad(text, to, right)
    local blank = rep(" ", max(0, to - width(text)))
    return right and blank .. text or text .. blank
end

local function is_numeric(sheet, column)
    for _, row in ipairs(sheet.rows) do
        if type(core.rawget(row, column)) == "number" then
            return true
        end
    end
    return false
end

-- All cells as text, heads first, with the widths and sides of the columns.
local function layout(sheet, units, escape)
    local show, grid, widths, right = printer(sheet), { {} }, {}, {}
    for c, column in ipairs(sheet.columns) do
        grid[1][c] = escape(column)
        right[c] = is_numeric(sheet, column)
    end
    if units then
        grid[2] = units
    end
    for _, row in ipairs(sheet.rows) do
        local line = {}
        for c, column in ipairs(sheet.columns) do
            line[c] = escape(show(core.rawget(row, column), column, row))
        end
        grid[#grid + 1] = line
    end
    for c = 1, #sheet.columns do
        widths[c] = 0
        for _, line in ipairs(grid) do
            widths[c] = max(widths[c], width(line[c]))
        end
    end
    return grid, widths, right
end

local function units_of(sheet)
    local units, any = {}, false
    for c, column in ipairs(sheet.columns) do
        units[c] = core.unit(column)
        any = any or units[c] ~= ""
    end
    return any and units or nil
end

local formats = {}

function formats.text(sheet)
    local grid, widths, right = layout(sheet, units_of(sheet), tostring)
    local lines = {}
    if sheet.title then
        lines[1] = sheet.title
    end
    for _, cells in ipairs(grid) do
        local line = {}
        for c, cell in ipairs(cells) do
            line[c] = pad(cell, widths[c], right[c])
        end
        lines[#lines + 1] = (gsub(concat(line, "  "), " +$", ""))
    end
    for _, note in ipairs(sheet.notes) do
        lines[#lines + 1] = note
    end
    return concat(lines, "\n") .. "\n"
end

-- One record of RFC 4180: commas, quotes doubled within quotes, CRLF.
function core.csv_line(cells)
    local line = {}
    for c, text in ipairs(cells) do
        line[c] = find(text, '[",\r\n]') and '"' .. gsub(text, '"', '""') .. '"' or text
    end
    return concat(line, ",") .. "\r\n"
end

-- The remarks among the notes, or nothing.
local function warnings(sheet)
    local list = core.remarks_of(sheet.notes)
    for i, note in ipairs(list) do
        list[i] = gsub(note, "^WARNING: ", "")
    end
    return list[1] and concat(list, "; ")
end

-- The line under the last table of a run with --stamp, behind "stamp: ".
function core.stamp_text(stamp)
    local text = "lodeloom " .. stamp.lodeloom
    if stamp.sweep or not stamp.script then
        return text .. (stamp.sweep and ", sweep " .. stamp.sweep or "")
    end
    text = text .. ", " .. stamp.script .. " " .. stamp.hash .. (stamp.values[1] and ", with" or ", no values given")
    for _, pair in ipairs(stamp.values) do
        text = text .. " " .. pair[1] .. "=" .. pair[2]
    end
    return text
end

-- Heads and cells that follow those of the table: its remarks, since notes have no place in CSV and they must not be lost; and where it was
-- asked for, how far the mesh may be off and what was run.
local function csv_more(sheet, stamp)
    local heads, cells, origin = {}, {}, sheet.origin or {}
    local function add(head, cell)
        heads[#heads + 1], cells[#cells + 1] = head, cell
    end
    local warning = warnings(sheet)
    if warning then
        add("warning", warning)
    end
    if stamp and stamp.asked then
        add("mesh_error", origin.error and format("%.2g", origin.error) or "")
        add("mesh_error_of", origin.error and origin.of or "")
        add("mesh_error_met", origin.error and tostring(not origin.missed) or "")
        add("stamp", core.stamp_text(stamp))
    end
    return heads, cells
end

function formats.csv(sheet, stamp)
    local export, heads = exporter(sheet), { table.unpack(sheet.columns) }
    local more_heads, more = csv_more(sheet, stamp)
    table.move(more_heads, 1, #more_heads, #heads + 1, heads)
    local lines = { core.csv_line(heads) }
    for _, row in ipairs(sheet.rows) do
        local cells = {}
        for c, column in ipairs(sheet.columns) do
            local value = core.rawget(row, column)
            cells[c] = value == nil and "" or export(value, column)
        end
        table.move(more, 1, #more, #sheet.columns + 1, cells)
        lines[#lines + 1] = core.csv_line(cells)
    end
    return concat(lines)
end

function formats.markdown(sheet)
    local grid, widths, right = layout(sheet, units_of(sheet), function(text)
        return (gsub(text, "|", "\\|"))
    end)
    local lines, rule = {}, {}
    local function add(cells)
        local line = {}
        for c, cell in ipairs(cells) do
            line[c] = pad(cell, widths[c], right[c])
        end
        lines[#lines + 1] = "| " .. concat(line, " | ") .. " |"
    end
    if sheet.title then
        lines[1], lines[2] = "**" .. sheet.title .. "**", ""
    end
    add(grid[1])
    for c, w in ipairs(widths) do
        rule[c] = right[c] and rep("-", max(2, w) - 1) .. ":" or rep("-", max(1, w))
    end
    lines[#lines + 1] = "| " .. concat(rule, " | ") .. " |"
    for i = 2, #grid do
        add(grid[i])
    end
    for _, note in ipairs(sheet.notes) do
        lines[#lines + 1] = ""
        lines[#lines + 1] = note
    end
    return concat(lines, "\n") .. "\n"
end

local entities = { ["&"] = "&amp;", ["<"] = "&lt;", [">"] = "&gt;", ['"'] = "&quot;" }

-- A text as HTML shows it.
function core.html_text(text)
    return (gsub(tostring(text), '[&<>"]', entities))
end

local function html_row(cells, tag, right)
    local line = {}
    for c, cell in ipairs(cells) do
        line[c] = "<" .. tag .. (right[c] and ' class="n">' or ">") .. cell .. "</" .. tag .. ">"
    end
    return "<tr>" .. concat(line) .. "</tr>"
end

-- A table element alone, for a page: heads, units, rows, and the notes under it.
function formats.html(sheet)
    local units = units_of(sheet)
    local grid, _, right = layout(sheet, units, core.html_text)
    local lines = { "<table>" }
    if sheet.title then
        lines[2] = "<caption>" .. core.html_text(sheet.title) .. "</caption>"
    end
    for n, cells in ipairs(grid) do
        lines[#lines + 1] = html_row(cells, n <= (units and 2 or 1) and "th" or "td", right)
    end
    lines[#lines + 1] = "</table>"
    for _, note in ipairs(sheet.notes) do
        lines[#lines + 1] = '<p class="note">' .. core.html_text(note) .. "</p>"
    end
    return concat(lines, "\n") .. "\n"
end

local escapes = { ['"'] = '\\"', ["\\"] = "\\\\", ["\n"] = "\\n", ["\r"] = "\\r", ["\t"] = "\\t" }

local function json_text(text)
    if not utf8.len(text) then
        text = gsub(text, "[\x80-\xff]", "?") -- JSON is UTF-8
    end
    return '"' .. gsub(text, '[%c"\\]', function(c)
        return escapes[c] or format("\\u%04x", byte(c))
    end) .. '"'
end

local function json_value(value, column, export)
    if value == nil then
        return "null"
    elseif type(value) == "number" then
        return export(value, column)
    elseif type(value) == "boolean" then
        return tostring(value)
    end
    return json_text(tostring(value))
end

local function json_list(items, each)
    local list = {}
    for i, item in ipairs(items) do
        list[i] = each(item)
    end
    return "[" .. concat(list, ",") .. "]"
end

-- What was run: {"lodeloom", "script", "hash", "values"}, or the sweep that is a file of its own: {"lodeloom", "sweep"}.
local function json_stamp(stamp)
    local items = {}
    for _, name in ipairs{ "lodeloom", "script", "hash", "sweep" } do
        items[#items + 1] = stamp[name] and json_text(name) .. ":" .. json_text(stamp[name])
    end
    for i, pair in ipairs(stamp.values or {}) do
        items[#items + 1] = (i == 1 and '"values":{' or "") .. json_text(pair[1]) .. ":" .. json_text(pair[2])
            .. (i == #stamp.values and "}" or "")
    end
    return "{" .. concat(items, ",") .. "}"
end

-- How far the mesh may put the values of each column off, in the column's own unit; of readings alone, whose error is that of the largest
-- value of the unit.
local function widths_of(sheet)
    local groups, list = survey(sheet), {}
    for _, column in ipairs(sheet.columns) do
        local known = core.column_of(sheet, column)
        if known and known.error == "mesh" and SOLVED[core.unit(column)] and sheet.widest then
            list[column] = format("%.2g", sheet.widest * groups[group_of(column)].largest)
        end
    end
    return list
end

-- How far the mesh may put all off: relative, to what, and whether that is as little as was asked for.
local function json_mesh(origin)
    return origin and origin.error and ',"mesh_error":' .. format("%.2g", origin.error) .. ',"mesh_error_of":' .. json_text(origin.of)
        .. ',"mesh_error_met":' .. tostring(not origin.missed) or ""
end

-- One object on one line, as docs/results.md and results.schema.json have it. A column of a script's own has no meaning that is known
-- here, and what came from no mesh no mesh_error.
function formats.json(sheet, stamp)
    local export, within = exporter(sheet), widths_of(sheet)
    local function column_object(column)
        local known = core.column_of(sheet, column)
        return '{"name":' .. json_text(column) .. ',"unit":' .. json_text(core.unit(column))
            .. (known and ',"meaning":' .. json_text(known.meaning) .. ',"error":' .. json_text(known.error) or "")
            .. (within[column] and ',"within":' .. within[column] or "") .. "}"
    end
    local function row_object(row)
        local cells = {}
        for c, column in ipairs(sheet.columns) do
            cells[c] = json_text(column) .. ":" .. json_value(core.rawget(row, column), column, export)
        end
        return "{" .. concat(cells, ",") .. "}"
    end
    return '{"schema":"lodeloom table 1"' .. (stamp and ',"stamp":' .. json_stamp(stamp) or "")
        .. ',"title":' .. (sheet.title and json_text(sheet.title) or "null")
        .. ',"columns":' .. json_list(sheet.columns, column_object)
        .. ',"rows":' .. json_list(sheet.rows, row_object)
        .. ',"notes":' .. json_list(sheet.notes, json_text)
        .. json_mesh(sheet.origin) .. "}\n"
end

core.formats = formats
