-- table.lua - the result table: rows by number, columns by name, print and save.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local concat, find, huge, abs = table.concat, string.find, math.huge, math.abs
local type, tostring, rawget, rawset = core.type, core.tostring, core.rawget, core.rawset
local setmetatable, getmetatable = core.setmetatable, core.getmetatable

-- What belongs to a table beside its rows, keyed by the table so that a script cannot reach it.
local sheets = setmetatable({}, { __mode = "k" })
local methods = {}
core.methods.table = methods

-- The values of each row, keyed by the row: it is empty itself, so that whatever is assigned to it is looked at.
local cells = setmetatable({}, { __mode = "k" })
core.cells = cells

-- Remarks of tables that the script has taken values from, in order, each once: its own tables may rest on them.
local handed = {}
local MOST_HANDED = 100

-- The remarks, "odd: ...", "assumed: ..." or "WARNING: ...", since they were last taken.
function core.take_handed()
    local taken = handed
    handed = {}
    return taken
end

function core.add_handed(remarks)
    for _, text in ipairs(remarks) do
        if not handed[text] and #handed < MOST_HANDED then
            handed[text] = true
            handed[#handed + 1] = text
        end
    end
end

-- What must not be lost of a table's notes wherever its values go.
function core.remarks_of(notes)
    local remarks = {}
    for _, note in ipairs(notes) do
        remarks[#remarks + 1] = (find(note, "^odd: ") or find(note, "^assumed: ") or find(note, "^WARNING: ")) and note or nil
    end
    return remarks
end

-- The script takes a value of this sheet.
local function hand_on(sheet)
    if #sheet.notes > 0 then
        core.add_handed(core.remarks_of(sheet.notes))
    end
end

-- The sheet of a row of a table; nil for any other value.
local function sheet_of_row(value)
    local metatable = getmetatable(value)
    return metatable and rawget(metatable, "__metatable") == "row" and metatable.sheet or nil
end

-- The same of a table of results or of one of its rows.
function core.hand_on(value)
    local sheet = sheets[value] or sheet_of_row(value)
    if sheet then
        hand_on(sheet)
    end
end

-- A script's own sheet rests on what was handed on before its rows came.
local function take_remarks(sheet)
    local there = {}
    for _, note in ipairs(sheet.notes) do
        there[note] = true
    end
    for _, text in ipairs(sheet.own and handed or {}) do
        if not there[text] then
            sheet.notes[#sheet.notes + 1] = text
        end
    end
end

-- The values of a row; any other value as it is.
function core.plain(value)
    return value ~= nil and cells[value] or value
end

-- A field as it stands, of a row as well.
function core.rawget(t, key)
    return rawget(core.plain(t), key)
end

local function did_you_mean(wanted, names)
    local name = core.nearest(wanted, names)
    return name and "; did you mean '" .. name .. "'?" or "; there are " .. concat(names, ", ")
end


local function has_column(sheet, name)
    for _, column in ipairs(sheet.columns) do
        if column == name then
            return true
        end
    end
    return false
end

-- An object of the module, such as a part, which prints as its name.
local function names_itself(value)
    local metatable = getmetatable(value)
    return type(value) == "userdata" and metatable
        and (core.is_unknown(value) or rawget(core.methods, rawget(metatable, "__metatable")) ~= nil)
end

local function is_finite(value)
    return value == value and value ~= huge and value ~= -huge
end

-- What is wrong with a value of a cell or of an axis, nil when nothing is: what prints as an address, or as no number, differs from
-- run to run and means nothing to a reader. In a check readings are placeholders, and what is computed from them may well be no
-- number.
function core.cell_fault(value)
    local kind = type(value)
    if kind == "number" then
        return not (is_finite(value) or core.run().check_mode)
            and (value == value and tostring(value) or "0/0") .. ", not a finite number" or nil
    elseif value ~= nil and kind ~= "string" and kind ~= "boolean" and not names_itself(value) then
        return "a " .. kind .. "; it holds a number, a text, true, false or a part"
    end
end

local function check_cell(value, column, place)
    local fault = core.cell_fault(value)
    if fault then
        core.fail(place .. ": the value of '" .. column .. "' is " .. fault)
    end
    return type(value) == "number" and not is_finite(value) and 1 or value
end

local function check_column(sheet, key, place)
    if not has_column(sheet, key) then
        core.fail(place .. " no column '" .. tostring(key) .. "'" .. did_you_mean(tostring(key), sheet.columns))
    end
end

-- Walks over the values of a row by name.
local function row_pairs(row)
    local names, i = {}, 0
    core.hand_on(row)
    for name in next, cells[row] do
        names[#names + 1] = name
    end
    table.sort(names)
    return function()
        i = i + 1
        return names[i], cells[row][names[i] or ""]
    end
end

-- A row tells when it is asked for a column that its table does not have, and takes what t:add would take.
local function row_metatable(sheet)
    return {
        __index = core.guard(function(row, key)
            local value = cells[row][key]
            hand_on(sheet)
            if value == nil then
                check_column(sheet, key, "the row has")
            end
            return value
        end),
        __newindex = core.guard(function(row, key, value)
            check_column(sheet, key, "the row has")
            cells[row][key] = check_cell(value, key, "row")
            take_remarks(sheet)
        end),
        __pairs = row_pairs,
        __metatable = "row",
        sheet = sheet,
    }
end

local function new_row(sheet, values)
    local row = setmetatable({}, sheet.row)
    cells[row] = values
    return row
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

-- The table as a text of that format, with a stamp where it is handed out; what was kept of it in case the script ends is kept no
-- longer.
local function written(sheet, format, stamp)
    if sheet.kept then
        core.keep(nil)
        sheet.kept = nil
    end
    return core.formats[format](sheet, stamp)
end

-- A sweep with a file has one of its own.
local function stamp_of(sheet)
    return sheet.stamp or core.stamp()
end

function table_metatable.__tostring(t)
    return written(core.sheet_of(t, "tostring"), "text")
end

local function checked_row(sheet, row, place)
    if type(row) ~= "table" then
        core.fail(place .. ": a row is named values in braces, as in { " .. sheet.columns[1]
            .. " = ... }")
    end
    local copy = {}
    for key, value in next, core.plain(row) do
        if not has_column(sheet, key) then
            core.fail(place .. ": a row has '" .. tostring(key) .. "', which is no column"
                .. did_you_mean(tostring(key), sheet.columns))
        end
        copy[key] = check_cell(value, key, place)
    end
    local from = sheet_of_row(row)
    if from and from ~= sheet and from.origin then
        core.rest_on(sheet, from.origin)
    end
    return new_row(sheet, copy)
end

local function add_row(t, sheet, row, place)
    rawset(t, #t + 1, checked_row(sheet, row, place))
    take_remarks(sheet)
end

-- A row that a script has put in the place of another, as in t[1] = {...} or by table.sort, is taken as t:add would take it.
local function take_strangers(sheet)
    for i, row in ipairs(sheet.rows) do
        if getmetatable(row) ~= sheet.row then
            rawset(sheet.rows, i, checked_row(sheet, row, "row " .. core.integer(i)))
            take_remarks(sheet)
        end
    end
    return sheet
end

local function untouched_sheet_of(t, method)
    return sheets[t] or core.fail(method .. ": call it on a table with a colon, as in t:" .. method
        .. "(...)")
end

local function sheet_of(t, method)
    return take_strangers(untouched_sheet_of(t, method))
end

core.sheet_of = sheet_of

-- title may be nil; columns a list of names; rows a list of records; notes a list of texts.
local function new(title, columns, rows, notes, own)
    local t = {}
    local sheet = { title = title, columns = columns, rows = t, notes = notes, own = own }
    sheet.row = row_metatable(sheet)
    for _, row in ipairs(rows) do
        add_row(t, sheet, row, "table")
    end
    sheets[t] = sheet
    return setmetatable(t, table_metatable)
end

-- What C hands over: its rows are its own and sound.
-- origin: what it rests on; reading: "pickup.poles", of which its columns are.
function core.result(title, columns, rows, notes, origin, reading)
    local sheet = { title = title, columns = columns, rows = rows, notes = notes, origin = origin, digits = origin.error, widest = origin.widest,
        reading = reading }
    sheet.row = row_metatable(sheet)
    for i, row in ipairs(rows) do
        rows[i] = new_row(sheet, row)
    end
    sheets[rows] = sheet
    core.tell_origin(sheet)
    return setmetatable(rows, table_metatable)
end

-- The order of columns of a result table or of one of its rows; nil for any other value.
function core.columns_of(value)
    local sheet = sheets[value] or sheet_of_row(value)
    return sheet and sheet.columns or nil
end

local function list_of_texts(list, what, place)
    for i, text in ipairs(list) do
        if type(text) ~= "string" or find(text, "%c") then
            core.fail((place or "table") .. ": item " .. i .. " of '" .. what .. "' must be a text on one line")
        end
    end
    return list
end

core.list_of_texts = list_of_texts

-- A record of named numbers, such as read returns; `what` opens the message when it is none.
function core.named_numbers(record, what)
    if type(record) ~= "table" then
        core.fail(what .. " named numbers, as in { dcr_ohm = 6900 }, not a " .. type(record))
    end
    for name, value in next, record do
        local number = type(value) == "number" and value == value and abs(value) < huge
        if type(name) ~= "string" or not (number or core.is_unknown(value)) then
            core.fail(what .. " named numbers, as in { dcr_ohm = 6900 }; '" .. tostring(name) .. "' is none")
        end
    end
    return record
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

-- The table rests on others: one, a list of them, or by name where each is to be told apart.
local function rest_on_all(sheet, from)
    local named, names = sheets[from] and { from } or from, {}
    if type(named) ~= "table" then
        core.fail("table: 'from' is a table of results, or several, as in { field = fields, output = outputs }")
    end
    for key in next, named do
        names[#names + 1] = key
    end
    table.sort(names, function(a, b)
        return type(a) == type(b) and a < b or type(a) == "number" and type(b) ~= "number"
    end)
    for _, name in ipairs(names) do
        local other = sheets[named[name]]
            or core.fail("table: '" .. tostring(name) .. "' of 'from' is no table of results")
        core.rest_on(sheet, other.origin or { remarks = {} }, type(name) == "string" and name or nil)
    end
end

local function read_new(fields, own)
    local given = core.read("table", fields, "table")
    local t = new(given.title, check_columns(core.list(given.columns)), core.list(given.rows),
        list_of_texts(core.list(given.notes), "notes"), own)
    if given.from ~= nil then
        rest_on_all(sheets[t], given.from)
    end
    return t
end

-- ll.table{ title = ..., columns = {...}, rows = {...}, notes = {...}, from = ... }: a table of a script's own.
function ll.table(fields)
    return read_new(fields, true)
end

-- The same for the module, which knows what its tables rest on.
function core.table(fields)
    return read_new(fields, false)
end

function methods.column(t, name)
    local sheet = sheet_of(t, "column")
    if not has_column(sheet, name) then
        core.fail("column: there is no column '" .. tostring(name) .. "'"
            .. did_you_mean(tostring(name), sheet.columns))
    end
    local values = {}
    hand_on(sheet)
    for i, row in ipairs(sheet.rows) do
        values[i] = cells[row][name]
    end
    return values
end

function methods.columns(t)
    return core.list(sheet_of(t, "columns").columns)
end

function methods.add(t, row)
    add_row(t, untouched_sheet_of(t, "add"), row, "add")
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
    local origin = sheet_of(t, "mesh_error").origin
    return origin and origin.mesh or "mesh error: none, no mesh was needed"
end

function methods.titled(t, title)
    sheet_of(t, "titled").title = list_of_texts({ title }, "title")[1]
    return t
end

local names_of_formats = { "text", "csv", "markdown", "json", "html" }
local by_ending = { txt = "text", csv = "csv", md = "markdown", json = "json" }

function methods.as(t, name)
    local sheet = sheet_of(t, "as")
    if type(name) ~= "string" or not rawget(core.formats, name) then
        core.fail("as: the formats are " .. concat(names_of_formats, ", "))
    end
    return written(sheet, name)
end

function methods.print(t)
    local sheet = sheet_of(t, "print")
    core.print_table(written(sheet, core.format(), stamp_of(sheet)))
end

-- The format that a file's ending asks for.
function core.format_of_file(verb, name)
    local ending = type(name) == "string" and string.match(name, "%.(%w+)$")
    return ending and by_ending[ending]
        or core.fail(verb .. ": a file name ending in .csv, .md, .json or .txt was expected")
end

function methods.save(t, name)
    local sheet = sheet_of(t, "save")
    local kind, stamp = core.format_of_file("save", name), stamp_of(sheet)
    local text = written(sheet, kind, stamp)
    if stamp.asked and (kind == "text" or kind == "markdown") then
        text = text .. (kind == "markdown" and "\n" or "") .. "stamp: " .. core.stamp_text(stamp) .. "\n"
    end
    core.write_file(name, text)
end

-- Under a table of what rests on a description: what is odd in that.
function core.note_odd(t, description)
    for _, text in ipairs(core.odd(description)) do
        t:note(text)
    end
    return t
end

core.guard(methods)
