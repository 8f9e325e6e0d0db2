-- help.lua - what the list of words and the tables of fields say of a topic.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local concat = table.concat
local type, tostring, sorted_keys = core.type, core.tostring, core.sorted_keys

-- Where somebody asks for what there is not.
function core.nothing_named(what, name, names)
    local near = core.nearest(tostring(name), names)
    core.fail(what .. ": there is nothing named '" .. tostring(name) .. "'"
        .. (near and "; did you mean '" .. near .. "'?" or "; there are " .. concat(names, ", ")))
end

local nothing_named = core.nothing_named

-- ll.fields([noun]): the fields of a noun, or without a name the nouns.
function ll.fields(noun)
    if core.fields[noun] then
        local rows, columns = {}, { "field", "kind", "unit", "range", "needed", "meaning" }
        for i, field in ipairs(core.fields[noun]) do
            rows[i] = {}
            for _, column in ipairs(columns) do
                rows[i][column] = field[column]
            end
        end
        return core.table({ title = "fields of " .. noun, columns = columns, rows = rows })
    end
    local names, rows = sorted_keys(core.fields), {}
    if noun ~= nil then
        nothing_named("fields", noun, names)
    end
    for i, name in ipairs(names) do
        rows[i] = { noun = name, fields = #core.fields[name] }
    end
    return core.table({ title = "what has fields", columns = { "noun", "fields" }, rows = rows })
end

local function full_call(word, owner)
    return owner .. (owner == "ll" and "." or ":") .. core.plain_call(word[2])
end

local function gives(word, owner)
    return word[3] == "same" and owner or word[3]
end

-- The call that was meant where a word is asked of what does not have it, or nil: ll.network{...} for pickup:network.
function core.elsewhere(key, owner)
    for _, word in ipairs(core.words) do
        for _, other in ipairs{ "ll", "pickup", "network", "string", "recording", "table", "diagnosis" } do
            if other ~= owner and core.name_of(word[2]) == key and core.owns(word, other) then
                return full_call(word, other)
            end
        end
    end
end

-- ll.words([noun]): what can be asked of a noun, or without a name the functions of the module. What the list of words
-- forgot stands there without a meaning, which a test finds.
function ll.words(noun)
    local owner, rows, said = noun or "ll", {}, {}
    if core.type(owner) ~= "string" then
        nothing_named("words", core.tostring(owner), sorted_keys(core.methods))
    end
    for _, word in ipairs(core.words) do
        if core.owns(word, owner) then
            said[core.name_of(word[2])] = true
            rows[#rows + 1] = { call = full_call(word, owner), gives = gives(word, owner), meaning = word[4] }
        end
    end
    for _, name in ipairs(sorted_keys(owner == "ll" and ll or core.methods[owner] or {})) do
        if not said[name] then
            rows[#rows + 1] = { call = owner .. "." .. name, gives = "", meaning = "" }
        end
    end
    if #rows == 0 then
        nothing_named("words", owner, sorted_keys(core.methods))
    end
    return core.table({ title = owner == "ll" and "functions" or "what can be asked of a " .. owner,
        columns = { "call", "gives", "meaning" }, rows = rows })
end

-- Every word of that name, with the noun that has it: "with" belongs to many.
local function add_words(parts, name)
    for _, word in ipairs(core.words) do
        if core.name_of(word[2]) == name then
            local owner = string.match(word[1], "^%S+")
            parts[#parts + 1] = full_call(word, owner) .. ": " .. word[4] .. "\n"
                .. (word[3] == "nothing" and "" or "gives: " .. gives(word, owner) .. "\n")
        end
    end
end

-- The columns of each reading of that name.
local function add_columns(parts, name)
    for _, reading in ipairs(core.readings_named(name)) do
        local t = core.table({ title = "columns of " .. reading.of .. ":" .. reading.name, columns = { "column", "unit", "error",
            "meaning" }, rows = reading.columns })
        parts[#parts + 1] = t:as("text")
    end
end

-- The column of that name, of whichever readings have it.
local function add_column(parts, name)
    for _, reading in ipairs(core.readings_named()) do
        for _, column in ipairs(reading.columns) do
            if column.column == name then
                parts[#parts + 1] = "column '" .. name .. "' of " .. reading.of .. ":" .. reading.name .. " ("
                    .. (column.unit ~= "" and column.unit .. ", " or "") .. "error: " .. column.error .. "): " .. column.meaning .. "\n"
            end
        end
    end
end

-- Each field of that name, in one noun or in all.
local function add_fields(parts, noun, name)
    for _, owner in ipairs(noun and { noun } or sorted_keys(core.fields)) do
        for _, field in ipairs(core.fields[owner] or {}) do
            if field.field == name then
                local kind = field.kind .. (field.range == "" and field.unit ~= "" and ", " .. field.unit or "")
                    .. (field.range ~= "" and ", " .. field.range or "")
                parts[#parts + 1] = "field '" .. name .. "' of " .. owner .. " (" .. kind
                    .. (field.needed ~= "" and "; needed" or "") .. "): " .. field.meaning .. "\n"
            end
        end
    end
end

local function add_noun(parts, name)
    if core.fields[name] then
        parts[#parts + 1] = ll.fields(name):as("text")
    end
    if core.methods[name] and next(core.methods[name]) then
        parts[#parts + 1] = ll.words(name):as("text")
    end
end

-- A listed material, whose name people write in many ways.
local function add_material(parts, name)
    local meant = core.material_meant(name)
    parts[#parts + 1] = meant and ll.materials(meant):as("text")
end

-- Everything that help knows of, sorted; completion offers it too.
function core.topics()
    local seen = {}
    for _, word in ipairs(core.words) do
        seen[core.name_of(word[2])] = true
    end
    for noun, fields in next, core.fields do
        seen[noun] = true
        for _, field in ipairs(fields) do
            seen[field.field] = true
        end
    end
    for _, reading in ipairs(core.readings_named()) do
        for _, column in ipairs(reading.columns) do
            seen[column.column] = true
        end
    end
    return sorted_keys(seen)
end

local function overview()
    return ll.words():as("text") .. "\nMore of a word: help coil, help poles, help coil.opening\n"
end

-- ll.help([topic]): a text.
function ll.help(topic)
    if topic == nil then
        return overview()
    elseif type(topic) ~= "string" then
        core.fail("help: a word in quotes was expected, as in ll.help(\"coil\")")
    end
    local name = string.gsub(topic, "^ll%.", "")
    local noun, field = string.match(name, "^([%a_ ]+)[.:]([%w_]+)$")
    local parts = {}
    if noun then
        add_fields(parts, noun, field)
    end
    name = noun and #parts == 0 and field or name
    if #parts == 0 then
        add_words(parts, name)
        add_noun(parts, name)
        add_columns(parts, name)
        add_fields(parts, nil, name)
        add_column(parts, name)
        add_material(parts, name)
    end
    if #parts == 0 then
        local near = core.nearest(name, core.topics())
        core.fail("help: nothing is known of '" .. topic .. "'"
            .. (near and "; did you mean '" .. near .. "'?" or "; ll.help() lists what there is"))
    end
    return concat(parts, "\n")
end
