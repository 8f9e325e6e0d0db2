-- The module in a plain interpreter, beside its own libraries.
local ll = require "lodeloom"
assert(io and os and debug)
local rod = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = ll.magnet{ remanence = 1200, recoil = 1 },
    north = "+z" }
local p <close> = ll.pickup{ parts = { rod } }
assert(math.abs(p:field{ { 0, 0, 1 } }[1].bz_mt - 371.461) < 0.05)
local fine, message = pcall(ll.rod, { diameter = 5 })
assert(not fine and message:find("'length' is missing", 1, true))
-- Closing and collecting the same pickup is fine.
do
    local again <close> = p
end
collectgarbage()
assert(not pcall(p.field, p, { { 0, 0, 1 } }))

-- Chance belongs to the points of a sweep here, too.
local function draws()
    return ll.sweep{ vary = { { "n", { 1, 2, 3 } } }, build = function() return 1 end,
        read = function() return { draw = math.random() } end }:as("csv")
end
local first = draws()
assert(first == draws() and not string.find(first, "(0%.%d+).*%1"))
