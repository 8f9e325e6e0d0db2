-- prompt.lua - what the tab key offers. Gets the module's core and the script's environment, returns a function
-- (text before the word, the word) -> list of what may stand there.
-- Nothing here runs code of a script: tables are read raw, and objects are known by the kind that they tell.
-- SPDX-License-Identifier: GPL-3.0-or-later
local core, env = ...
local find, gmatch, match, sub = string.find, string.gmatch, string.match, string.sub
local type, rawget = core.type, core.rawget

-- "coil" for a coil, "table" for a table of results.
local function noun_of(value)
    local metatable = core.getmetatable(value)
    local kind = metatable and rawget(metatable, "__metatable")
    return kind == "table of results" and "table" or type(kind) == "string" and kind or nil
end

-- The value of "a.b.c", or nil.
local function value_of(path)
    local value = env
    for name in gmatch(path, "[^.]+") do
        value = type(value) == "table" and rawget(value, name) or nil
    end
    return value
end

-- Names behind "a.b." or "a.b:", by the kind of a.b.
local function names_behind(path, colon)
    local value, names = value_of(path), {}
    local noun = value ~= env and noun_of(value)
    if colon == ":" then
        for name in next, core.methods[noun] or {} do
            names[#names + 1] = name
        end
    elseif type(value) == "table" then
        for name in next, value do
            names[#names + 1] = type(name) == "string" and name or nil
        end
    else
        for _, field in ipairs(core.fields[noun] or {}) do
            names[#names + 1] = field.field
        end
    end
    return names
end

-- What stands before each brace that is open at the end of the text; texts in quotes and remarks are skipped.
local function open_braces(text)
    local open, at = {}, 1
    while at <= #text do
        local c = sub(text, at, at)
        if c == '"' or c == "'" then
            at = find(text, c, at + 1, true) or #text
        elseif sub(text, at, at + 1) == "--" then
            at = find(text, "\n", at, true) or #text
        elseif c == "{" then
            open[#open + 1] = sub(text, 1, at - 1)
        elseif c == "}" then
            open[#open] = nil
        end
        at = at + 1
    end
    return open
end

-- The noun of a record that is a field of another: head = {...}.
local function record_of(noun, name)
    for _, field in ipairs(core.fields[noun] or {}) do
        if field.field == name then
            return field.of
        end
    end
end

-- Whose fields may stand at the end of the text; nil when it is not inside such braces.
local function noun_at(text)
    local noun
    for _, before in ipairs(open_braces(text)) do
        local path, call = match(before, "([%w_.]-)[.:]?([%w_]+)%s*$")
        local field = match(before, "([%w_]+)%s*=%s*$")
        if field then
            noun = record_of(noun, field)
        elseif call == "with" then
            noun = noun_of(value_of(path))
        else
            noun = call and core.fields[call] and call or nil
        end
    end
    return noun
end

local function add(list, prefix, names, word, behind)
    for _, name in ipairs(names) do
        if sub(name, 1, #word) == word then
            list[#list + 1] = prefix .. name .. behind
        end
    end
end

-- What stands between an open quote on the last line and its end; nil outside of texts.
local function quoted(before)
    local line = match(before, "[^\n]*$")
    local _, quotes = string.gsub(line, '"', "")
    return quotes % 2 == 1 and match(line, '"([^"]*)$') or nil
end

-- Names of materials that go on as the text does; words of a name are completed one after the other.
local function add_materials(list, begun, word)
    for _, row in ipairs(core.material_rows()) do
        if sub(row.name, 1, #begun + #word) == begun .. word then
            list[#list + 1] = sub(row.name, #begun + 1)
        end
    end
end

return function(before, word)
    local list, begun = {}, quoted(before)
    local path, colon, name = match(word, "^(.*)([.:])([^.:]*)$")
    if find(before, "^%s*help%s+$") then
        add(list, "", core.topics(), word, "")
    elseif begun then
        add_materials(list, begun, word)
    elseif path then
        add(list, path .. colon, names_behind(path, colon), name, "")
    else
        local noun = find(before, "[{,;]%s*$") and noun_at(before)
        local fields = {}
        for i, field in ipairs(core.fields[noun] or {}) do
            fields[i] = field.field
        end
        add(list, "", fields, word, " = ")
        if #fields == 0 then
            add(list, "", names_behind("", "."), word, "")
        end
    end
    table.sort(list)
    return list
end
