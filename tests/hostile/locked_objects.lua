-- ends with 0: metatables of parts, tables and the module are locked
local rod = ll.rod({ diameter = 5, length = 10, at = { 0, 0, 0 }, material = "brass" })
assert(getmetatable(rod) == "rod")
assert(getmetatable(ll) == "lodeloom")
assert(getmetatable(ll.fields("rod")) == "table of results")
assert(not pcall(setmetatable, ll, {}))
assert(not pcall(setmetatable, ll.fields("rod"), {}))
assert(not pcall(function()
    rod.diameter = 6
end))
assert(not pcall(rod.moved, setmetatable({}, {}), 1, 2, 3))
