-- caller.lua - bytes choose what of the module is called, with which fields and values.
-- Gets the bytes, the module and its core. Everything is called protected: errors are fine, crashes are not.
-- SPDX-License-Identifier: GPL-3.0-or-later
local bytes, ll, core = ...
local at, made = 0, {}

local function byte()
    at = at + 1
    return string.byte(bytes, at) or 0
end

local function pick(list)
    return list[byte() % #list + 1]
end

local numbers = { 0, 1, -1, 2, 3, 5, 6, 8, 10, 42, 60, 100, 440, 1000, 5000, 8000, 250e3, 0.1, 0.25, 0.5, 2.5, 1e-12, 1e-9, 1e-6,
    -5, -20, 1e5, 1e6, 1e9, 1e15, 1e300, -1e300, 5e-324, 1 / 0, -1 / 0, 0 / 0, math.maxinteger, math.mininteger }
local texts = { "AlNiCo 5", "ferrite C5", "steel 1018", "brass", "+z", "-y", "x", "y", "z", "ccw", "cw", "start", "E4", "G#3", "series",
    "parallel", "audio", "linear", "heavy", "pole 1", "", "\0", "a\0b", "\n", "\xff\xfe", ("x"):rep(100), "x.csv", "x.png", "../x",
    "bz_mt", "csv", "json", "8000", "pole", "%d%s%n" }

-- Names in a fixed order: the same bytes always do the same.
local function sorted(t)
    local names = {}
    for name in next, t do
        names[#names + 1] = type(name) == "string" and name or nil
    end
    table.sort(names)
    return names
end
local functions, nouns = sorted(ll), sorted(core.fields)

-- Sound things to begin with, none of which needs a mesh, so that readings are reached by few bytes.
local function begin()
    local rod = ll.rod({ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, -8.5 }, north = "+z",
        material = ll.magnet({ remanence = 1000, recoil = 1 }) })
    local coil = ll.coil({ turns = 8000, opening = { 6, 6 }, build = 3, height = 10, at = { 0, 0, -8 }, wire = ll.awg(42) })
    local lumped = ll.lumped({ r = 7500, l = 2.5, c = 110 * ll.pf })
    local p = ll.pickup({ name = "sound", parts = { rod }, coils = { coil } })
    made = { rod, coil, p, p, p, ll.string({ note = "G3", gauge = 0.43, x = 0, gap = 2.5 }), lumped, p:winding(), ll.material("brass"),
        ll.network({ from = { lumped, p }, volume = 250e3, tone_pot = 250e3, tone_cap = 22 * ll.nf }), ll.awg(42),
        p:field({ { 0, 0, 5 }, { 5, 0, 5 } }), ll.rod({ diameter = 5, length = 10, at = { 20, 0, 0 }, material = "steel 1018" }) }
end
begin()

local function kind_of(value)
    local metatable = core.getmetatable(value)
    return type(metatable) == "table" and core.rawget(metatable, "__metatable")
end

local value

local function list_of(depth)
    local list = {}
    for i = 1, byte() % 5 do
        list[i] = value(depth + 1)
    end
    return list
end

local function vector(n)
    local list = {}
    for i = 1, n do
        list[i] = pick(numbers)
    end
    return list
end

-- An object that was made before, of the kind that is wanted when there is one.
local function object(kind)
    local fitting = {}
    for _, candidate in ipairs(made) do
        fitting[#fitting + 1] = string.find(kind, tostring(kind_of(candidate)), 1, true) and candidate or nil
    end
    return #fitting > 0 and pick(fitting) or #made > 0 and pick(made) or nil
end

local fields_of

-- What a field may well hold.
local function likely(field, depth)
    local kind = field.kind
    if kind == "number" or kind == "whole number" then
        local low, high = string.match(field.range, "(-?[%d.e+-]+) [^%d-]*(-?[%d.e+-]+)")
        local of_range = { tonumber(low) or 1, tonumber(high) or 10, 1, 2, 5, 0.5 }
        return byte() % 4 == 0 and pick(numbers) or pick(of_range)
    elseif kind == "{x, y, z}" or kind == "{x, y}" then
        return { pick({ 0, 5, -9, 20 }), pick({ 0, 7, -8 }), kind == "{x, y, z}" and pick({ 0, -5, -12, 30 }) or nil }
    elseif kind == "true or false" then
        return byte() % 2 == 0
    elseif kind == "list" then
        return byte() % 2 == 0 and { vector(byte() % 4), vector(byte() % 4) } or vector(byte() % 6)
    elseif kind == "function" then
        return function() return object("pickup") or 1 end
    elseif kind == "fields" then
        return fields_of(pick(nouns), depth + 1)
    elseif string.find(kind, '"', 1, true) then
        return string.match(kind, '"([^"]*)"')
    elseif kind == "material" or kind == "direction" or kind == "text" then
        return pick(texts)
    end
    local one = object(kind)
    return byte() % 2 == 0 and { one, object(kind) } or one
end

function fields_of(noun, depth)
    local fields = {}
    for _, field in ipairs(core.fields[noun] or {}) do
        local how = byte() % 16
        if how < 6 or field.needed == "yes" and how < 15 then
            fields[field.field] = likely(field, depth)
        elseif how == 15 then
            fields[field.field] = value(depth + 1)
        end
    end
    if byte() % 16 == 0 then
        fields[pick(texts)] = value(depth + 1)
    end
    return fields
end

-- Anything at all.
function value(depth)
    local how = depth > 4 and byte() % 4 or byte() % 12
    if how < 2 then
        return pick(numbers)
    elseif how == 2 then
        return pick(texts)
    elseif how == 3 then
        return byte() % 2 == 0
    elseif how < 6 then
        return #made > 0 and pick(made) or nil
    elseif how < 8 then
        return list_of(depth)
    elseif how == 8 then
        return vector(byte() % 5)
    elseif how == 9 then
        return fields_of(pick(nouns), depth)
    elseif how == 10 then
        return print
    end
    return nil
end

local function keep(fine, result)
    if fine and (type(result) == "userdata" or type(result) == "table") and #made < 64 then
        made[#made + 1] = result
    end
end

-- A word of the module with the fields of its noun, or with anything.
local function call_word()
    local name = pick(functions)
    local argument = core.fields[name] and byte() % 8 > 0 and fields_of(name, 0) or value(0)
    keep(pcall(function() return ll[name](argument, byte() % 2 == 0 and value(0) or nil) end))
end

local function call_method()
    local self = #made > 0 and pick(made) or nil
    local methods = core.methods[kind_of(self) == "table of results" and "table" or kind_of(self)]
    local name = methods and pick(sorted(methods)) or pick(functions)
    local argument = core.fields[name] and byte() % 8 > 0 and fields_of(name, 0) or pick({ value(0), texts[1], pick(texts) })
    keep(pcall(function() return self[name](byte() % 16 > 0 and self or value(0), argument, value(0), value(0)) end))
end

local function poke()
    local self, key = #made > 0 and pick(made) or nil, value(3)
    pcall(function() return tostring(self) end)
    pcall(function() return self[key] end)
    pcall(function() self[key] = value(3) end)
    pcall(function() return #self + self end)
    pcall(function()
        for k, v in pairs(self) do
            tostring(k, v)
        end
    end)
end

for _ = 1, 200 do
    if at > #bytes then
        break
    end
    local how = byte() % 8
    if how < 4 then
        call_word()
    elseif how < 7 then
        call_method()
    else
        poke()
    end
end
