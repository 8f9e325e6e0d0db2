-- table.lua - the result table: rows by number, columns by name, print and save.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local concat, find, gmatch, huge = table.concat, string.find, string.gmatch, math.huge
local type, tostring, rawget, rawset = core.type, core.tostring, core.rawget, core.rawset
local setmetatable = core.setmetatable

-- What belongs to a table beside its rows, keyed by the table so that a script cannot reach it.
local sheets = setmetatable({}, { __mode = "k" })
local methods = {}
core.methods.table = methods

local function did_you_mean(wanted, names)
    local name = core.nearest(wanted, names)
    return name and "; did you mean '" .. name .. "'?" or "; there are " .. concat(names, ", ")
end

local function sheet_of(t, method)
    return sheets[t] or core.fail(method .. ": call it on a table with a colon, as in t:" .. method
        .. "(...)")
end

core.sheet_of = sheet_of

local function has_column(sheet, name)
    for _, column in ipairs(sheet.columns) do
        if column == name then
            return true
        end
    end
    return false
end

-- A row tells when it is asked for a column that its table does not have.
local function row_metatable(sheet)
    return {
        __index = core.guard(function(_, key)
            if not has_column(sheet, key) then
                core.fail("the row has no column '" .. tostring(key) .. "'"
                    .. did_you_mean(tostring(key), sheet.columns))
            end
        end),
        __metatable = "row",
        columns = sheet.columns,
    }
end

local table_metatable = { __metatable = "table of results", __name = "table of results" }

function table_metatable.__index(t, key)
    if methods[key] then
        return methods[key]
    elseif type(key) == "number" then
        return nil
    end
    local sheet = sheets[t]
    if has_column(sheet, key) then
        -- A table of one row is as good as its row.
        if #sheet.rows == 1 then
            return sheet.rows[1][key]
        end
        core.fail("'" .. key .. "' is a column: write t[1]." .. key .. " for one row or t:column(\""
            .. key .. "\") for all")
    end
    core.fail("a table of results has no '" .. tostring(key) .. "'; its columns are "
        .. concat(sheet.columns, ", "))
end

function table_metatable.__newindex(_, key)
    core.fail("a table of results takes new rows by t:add{...}, not by t["
        .. tostring(key) .. "] = ...")
end

core.guard(table_metatable)

function table_metatable.__tostring(t)
    return core.formats.text(sheets[t])
end

-- In a check readings are placeholders, and what is computed from them may well be no number.
local function check_cell(value, column, place)
    if type(value) == "number" and (value ~= value or value == huge or value == -huge) then
        if core.run().dry then
            return 1
        end
        core.fail(place .. ": the value of '" .. column .. "' is " .. tostring(value)
            .. ", not a finite number")
    end
    return value
end

local function add_row(t, sheet, row, place)
    if type(row) ~= "table" then
        core.fail(place .. ": a row is named values in braces, as in { " .. sheet.columns[1]
            .. " = ... }")
    end
    local copy = {}
    for key, value in next, row do
        if not has_column(sheet, key) then
            core.fail(place .. ": a row has '" .. tostring(key) .. "', which is no column"
                .. did_you_mean(tostring(key), sheet.columns))
        end
        copy[key] = check_cell(value, key, place)
    end
    rawset(t, #t + 1, setmetatable(copy, sheet.row))
end

-- title may be nil; columns a list of names; rows a list of records; notes a list of texts.
local function new(title, columns, rows, notes, place)
    local t = {}
    local sheet = { title = title, columns = columns, rows = t, notes = notes }
    sheet.row = row_metatable(sheet)
    for _, row in ipairs(rows) do
        add_row(t, sheet, row, place)
    end
    sheets[t] = sheet
    return setmetatable(t, table_metatable)
end

-- What C hands over: its rows are its own and sound.
-- error: of what comes from the mesh, relative to the largest value.
function core.result(title, columns, rows, notes, error)
    local names = {}
    for name in gmatch(columns, "%S+") do
        names[#names + 1] = name
    end
    local sheet = { title = title, columns = names, rows = rows, notes = notes, error = error }
    sheet.row = row_metatable(sheet)
    for _, row in ipairs(rows) do
        setmetatable(row, sheet.row)
    end
    sheets[rows] = sheet
    return setmetatable(rows, table_metatable)
end

-- The order of columns of a result table or of one of its rows; nil for any other value.
function core.columns_of(value)
    if sheets[value] then
        return sheets[value].columns
    end
    local metatable = core.getmetatable(value)
    return metatable and rawget(metatable, "__metatable") == "row" and metatable.columns or nil
end

local function list_of_texts(list, what)
    for i, text in ipairs(list) do
        if type(text) ~= "string" or find(text, "%c") then
            core.fail("table: item " .. i .. " of '" .. what .. "' must be a text on one line")
        end
    end
    return list
end

local function check_columns(columns)
    if #columns == 0 then
        core.fail("table: 'columns' needs the names of the columns, as in { \"pole\", \"bz_mt\" }")
    end
    local seen = {}
    for _, name in ipairs(list_of_texts(columns, "columns")) do
        if seen[name] then
            core.fail("table: the column '" .. name .. "' is there twice")
        end
        seen[name] = true
    end
    return columns
end

-- ll.table{ title = ..., columns = {...}, rows = {...}, notes = {...} }: a table of a script's own.
function ll.table(fields)
    local given = core.read("table", fields, "table")
    return new(given.title, check_columns(core.list(given.columns)), core.list(given.rows),
        list_of_texts(core.list(given.notes), "notes"), "table")
end

function methods.column(t, name)
    local sheet = sheet_of(t, "column")
    if not has_column(sheet, name) then
        core.fail("column: there is no column '" .. tostring(name) .. "'"
            .. did_you_mean(tostring(name), sheet.columns))
    end
    local values = {}
    for i, row in ipairs(sheet.rows) do
        values[i] = rawget(row, name)
    end
    return values
end

function methods.columns(t)
    return core.list(sheet_of(t, "columns").columns)
end

function methods.add(t, row)
    add_row(t, sheet_of(t, "add"), row, "add")
    return t
end

function methods.note(t, text)
    local sheet = sheet_of(t, "note")
    sheet.notes[#sheet.notes + 1] = list_of_texts({ text }, "note")[1]
    return t
end

function methods.notes(t)
    return core.list(sheet_of(t, "notes").notes)
end

-- To be handed on to a table of values that come from this one.
function methods.mesh_error(t)
    for _, note in ipairs(sheet_of(t, "mesh_error").notes) do
        if find(note, "^mesh error: ") or find(note, "^WARNING: .*mesh error") then
            return note
        end
    end
    return "mesh error: none, no mesh was needed"
end

function methods.titled(t, title)
    sheet_of(t, "titled").title = list_of_texts({ title }, "title")[1]
    return t
end

local names_of_formats = { "text", "csv", "markdown", "json", "html" }
local by_ending = { txt = "text", csv = "csv", md = "markdown", json = "json" }

function methods.as(t, name)
    local sheet = sheet_of(t, "as")
    local write = type(name) == "string" and rawget(core.formats, name)
        or core.fail("as: the formats are " .. concat(names_of_formats, ", "))
    return write(sheet)
end

function methods.print(t)
    local sheet = sheet_of(t, "print")
    core.print_table(core.formats[core.format()](sheet))
end

-- The format that a file's ending asks for.
function core.format_of_file(verb, name)
    local ending = type(name) == "string" and string.match(name, "%.(%w+)$")
    return ending and by_ending[ending]
        or core.fail(verb .. ": a file name ending in .csv, .md, .json or .txt was expected")
end

function methods.save(t, name)
    local sheet = sheet_of(t, "save")
    core.write_file(name, core.formats[core.format_of_file("save", name)](sheet))
end

core.guard(methods)
