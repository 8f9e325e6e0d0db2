-- table.lua - the input as a text file of the bench: its first byte chooses what is said of it besides, the rest stands in the file.
-- SPDX-License-Identifier: GPL-3.0-or-later
local bytes, ll, core = ...
local FILE = "t.csv"
local said = { {}, { decimal = "," }, { separator = ";" }, { skip = 1 }, { columns = { "f_hz", "z_ohm" } } }

local function found(what)
    error("FOUND: " .. what, 0)
end

local function fields_of(n)
    local fields = { file = FILE }
    for key, value in pairs(said[n % #said + 1]) do
        fields[key] = value
    end
    return fields
end

-- What stands in a cell: nothing, a text, or a number that is one. True when all are numbers.
local function check_cells(sheet)
    local numbers = true
    for _, row in ipairs(sheet.rows) do
        for _, column in ipairs(sheet.columns) do
            local cell = core.rawget(row, column)
            numbers = numbers and type(cell) == "number"
            if type(cell) == "number" and not (math.abs(cell) < math.huge) then
                found("a number that is none in column " .. column)
            elseif cell ~= nil and type(cell) ~= "number" and type(cell) ~= "string" then
                found("a cell of type " .. type(cell))
            end
        end
    end
    return numbers
end

local function read_again(t)
    core.write_file(FILE, t:as("csv"))
    local fine, again = pcall(ll.read_table, { file = FILE, separator = "," })
    return fine and not core.is_unknown(again) and again
end

core.write_file(FILE, string.sub(bytes, 2))
local fine, t = pcall(ll.read_table, fields_of(string.byte(bytes) or 0))
if fine and not core.is_unknown(t) and check_cells(core.sheet_of(t, "fuzz")) and #t > 1 then
    -- Its own CSV is a table again, of as many rows.
    local again = read_again(t)
    if again and #again ~= #t then
        found("a table of " .. #t .. " rows is read again as " .. #again)
    end
end
