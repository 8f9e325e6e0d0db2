-- annotations.lua - the list of words and the tables of fields as annotations for lua-language-server, so that editors
-- complete names, show meanings and mark what is misspelt.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local concat = table.concat
local gsub, match = string.gsub, string.match

local head = [[
---@meta lodeloom
-- What Lodeloom adds to Lua, for editors: written by `lodeloom annotations`.

---What the command line gave: NAME=VALUE.
---@type table<string, any>
given = {}
]]

local function class_of(noun)
    return "lodeloom." .. gsub(noun, " ", "_")
end

-- What a call gives, as a type: "list of number" is number[], "same" the class of its owner.
local function type_of(gives, owner)
    local item = match(gives, "^list of (.+)")
    if item then
        return type_of(item, owner) .. "[]"
    end
    local plain = { number = "number", text = "string", same = class_of(owner) }
    return plain[gives] or class_of(gives)
end

-- The fields of a noun as a class: needed ones are told from those that may be left out.
local function add_fields(lines, noun)
    lines[#lines + 1] = "\n---@class " .. class_of(noun) .. ".fields"
    for _, field in ipairs(core.fields[noun]) do
        local note = field.range ~= "" and field.range or field.unit
        lines[#lines + 1] = "---@field " .. field.field .. (field.needed == "" and "? " or " ") .. field.type .. " "
            .. field.meaning .. (note ~= "" and " (" .. note .. ")" or "")
    end
end

local function any_needed(noun)
    for _, field in ipairs(core.fields[noun]) do
        if field.needed ~= "" then
            return true
        end
    end
    return false
end

-- Lines for the parameters, and the list of their names.
local function parameters(lines, call)
    local name, names = core.name_of(call), {}
    if match(call, "{%.%.%.}$") then
        lines[#lines + 1] = core.fields[name] and "---@param fields" .. (any_needed(name) and " " or "? ")
            .. class_of(name) .. ".fields" or "---@param fields table"
        return "fields"
    end
    for parameter, kind in string.gmatch(call, "([%w_]+%??): ([^,)]+)") do
        lines[#lines + 1] = "---@param " .. parameter .. " " .. kind
        names[#names + 1] = gsub(parameter, "%?", "")
    end
    return concat(names, ", ")
end

-- The class of what a word gives: a reading's table knows its columns.
local function given_by(word, owner)
    local name = core.name_of(word[2])
    for _, reading in ipairs(core.readings_named(owner .. "." .. name)) do
        return class_of(reading.of .. "." .. reading.name) .. ".table"
    end
    return type_of(word[3], owner)
end

local function add_word(lines, word, owner)
    local name = core.name_of(word[2])
    lines[#lines + 1] = "\n---" .. word[4]
    if name == word[2] then
        lines[#lines + 1] = "ll." .. name .. " = 1"
        return
    end
    local names = parameters(lines, word[2])
    if word[3] ~= "nothing" then
        lines[#lines + 1] = "---@return " .. given_by(word, owner)
    end
    lines[#lines + 1] = "function " .. (owner == "ll" and "ll." or gsub(owner, " ", "_") .. "_:") .. name
        .. "(" .. names .. ") end"
end

-- The rows of a reading's table: a value for each column.
local function add_rows(lines, reading)
    local class = class_of(reading.of .. "." .. reading.name)
    lines[#lines + 1] = "\n---@class " .. class .. ".row"
    for _, column in ipairs(reading.columns) do
        lines[#lines + 1] = "---@field " .. column.column .. "? " .. (column.unit == "text" and "string " or "number ")
            .. column.meaning .. (column.unit ~= "" and column.unit ~= "text" and " (" .. column.unit .. ")" or "")
    end
    lines[#lines + 1] = "\n---@class " .. class .. ".table : lodeloom.table, " .. class .. ".row"
    lines[#lines + 1] = "---@field [integer] " .. class .. ".row"
end

-- An object can be asked for its fields and has methods.
local function add_object(lines, noun)
    lines[#lines + 1] = "\n---@class " .. class_of(noun)
        .. (core.fields[noun] and noun ~= "table" and " : " .. class_of(noun) .. ".fields" or "")
    lines[#lines + 1] = "local " .. gsub(noun, " ", "_") .. "_ = {}"
    for _, word in ipairs(core.words) do
        if core.owns(word, noun) then
            add_word(lines, word, noun)
        end
    end
end

-- Whatever can be moved is a part.
local function add_part(lines)
    for _, word in ipairs(core.words) do
        if core.name_of(word[2]) == "moved" then
            lines[#lines + 1] = "\n---@alias lodeloom.part lodeloom." .. gsub(word[1], " ", "|lodeloom.")
        end
    end
end

-- ll.annotations(): the text of an annotated lodeloom.lua.
function ll.annotations()
    local lines = { head }
    for _, noun in ipairs(core.sorted_keys(core.fields)) do
        add_fields(lines, noun)
    end
    for _, noun in ipairs(core.sorted_keys(core.methods)) do
        add_object(lines, noun)
    end
    for _, reading in ipairs(core.readings_named()) do
        add_rows(lines, reading)
    end
    add_part(lines)
    lines[#lines + 1] = "\n---@class lodeloom\nll = {}\nlodeloom = ll"
    for _, word in ipairs(core.words) do
        if core.owns(word, "ll") then
            add_word(lines, word, "ll")
        end
    end
    lines[#lines + 1] = "\nreturn ll"
    return concat(lines, "\n")
end
