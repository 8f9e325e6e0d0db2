-- ends with 0: a cell or an axis holds a number, a text, a truth value or a part, however it gets there
local function refused(words, f)
    local fine, message = pcall(f)
    assert(not fine and string.find(message, words, 1, true), message)
    assert(string.find(message, "cells.lua:%d+: "), message)
end
local rod = ll.rod{ name = "core", diameter = 5, length = 17, at = { 0, 0, 0 }, material = "brass" }
local mine = setmetatable({}, { __tostring = function() return "mine" end })
local nan = 0 / 0
local function with(value)
    return ll.table{ columns = { "a", "b" }, rows = { { a = value } } }
end
local t = with(1)

-- Described, added, assigned, put in the place of a row, or set behind the table's back.
for _, value in ipairs{ {}, print, function() end, coroutine.create(print), mine, t, t[1] } do
    refused("the value of 'a' is a ", function() with(value) end)
    refused("the value of 'a' is a ", function() t:add{ a = value } end)
    refused("the value of 'a' is a ", function() t[1].a = value end)
    refused("the value of 'a' is a ", function() rawset(t[1], "a", value) end)
    refused("value 2 of the axis 'x' is a ", function()
        ll.sweep{ vary = { { "x", { 1, value } } }, build = function() return 1 end, read = function() return { y = 1 } end }
    end)
    refused("for 'y' at x = 1 read returned a ", function()
        ll.sweep{ vary = { { "x", { 1 } } }, build = function() return 1 end, read = function() return { y = value } end }
    end)
end
for _, value in ipairs{ nan, -nan, 1 / 0, -1 / 0 } do
    refused("not a finite number", function() with(value) end)
    refused("not a finite number", function() t:add{ a = value } end)
    refused("not a finite number", function() t[1].a = value end)
    refused("not a finite number", function() rawset(t[1], "b", value) end)
    refused("not a finite number", function()
        ll.sweep{ vary = { { "x", { value } } }, build = function() return 1 end, read = function() return { y = 1 } end }
    end)
    local other = with(1)
    other[1] = { a = value }
    refused("row 1: the value of 'a' is ", function() other:print() end)
    refused("row 1: the value of 'a' is ", function() other:as("json") end)
end
refused("no column 'c'", function() t[1].c = 5 end)
refused("no column 'c'", function() rawset(t[1], "c", 5) end)
refused("no column 'c'", function() return t[1].c .. "" end)
assert(#t == 1 and t[1].a == 1 and t[1].b == nil)

-- What may stand there does, and rows can be walked over, sorted, taken away and handed on as before.
for _, value in ipairs{ 2, "two", true, false, rod } do
    t[1].b = value
    assert(t[1].b == value and rawget(t[1], "b") == value and with(value)[1].a == value)
end
assert(string.find(t:as("csv"), "rod 'core'", 1, true))
t[1].b = nil
local seen = {}
for name, value in pairs(t[1]) do
    seen[#seen + 1] = name .. "=" .. value
end
assert(table.concat(seen, " ") == "a=1" and next(t[1]) == "a")
t:add{ a = 0, b = "x" }
table.sort(t, function(x, y) return x.a < y.a end)
assert(t:column("a")[1] == 0 and t:column("a")[2] == 1)
t[1] = { a = 7 }
assert(t:column("a")[1] == 7 and t[1].b == nil and #ll.table{ columns = { "a", "b" }, rows = t } == 2)
assert(ll.table{ columns = { "a", "b" }, rows = { t[2] } }[1].a == 1)
table.remove(t, 1)
assert(#t == 1 and t:column("a")[1] == 1)
local s = ll.sweep{ vary = { { "part", { rod, "none", true } } }, build = function() return 1 end,
    read = function(_, v) return { back = v.part, kind = type(v.part) } end }
assert(s[1].part == "rod 'core'" and s[1].back == "rod 'core'" and s[1].kind == "userdata" and s[3].kind == "boolean")
