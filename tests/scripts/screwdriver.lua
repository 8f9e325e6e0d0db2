-- The screwdriver test of a two-coil pickup: at any height of its screws, under a cover, with rows that share their names, and
-- with one coil wound the wrong way, whose poles alone change sign.
local bar = ll.block{ name = "bar", size = { 32, 12, 3 }, at = { 0, 0, -15 }, material = "ferrite C5", north = "+y" }
local slugs = ll.row{ count = 2, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 14, at = { 0, 9, -7 },
    material = "steel 1018" } }
local function screws(up)
    return ll.row{ count = 2, spacing = 10.4, part = ll.screw{ thread = 3, length = 18, head = { diameter = 5, height = 2 },
        top = up, at = { 0, -9 }, material = "steel 1010" } }
end
local screw_coil = ll.coil{ name = "screw coil", turns = 5000, opening = { 18, 6 }, build = 3.5, height = 7, at = { 0, -9, -6 } }
local slug_coil = screw_coil:with{ name = "slug coil", at = { 0, 9, -6 }, hand = "cw" }
local function pickup(up, cover, second)
    return ll.pickup{ parts = { screws(up), slugs, bar, cover }, coils = { screw_coil, second or slug_coil }, accuracy = 20 }
end

local function signs(t)
    local list = {}
    for i, row in ipairs(t) do
        list[i] = row.meter .. " " .. row.coil
    end
    return table.concat(list, ", ")
end

local sound = pickup(0):screwdriver()
local usual = signs(sound)
assert(usual == "negative screw coil, negative screw coil, negative slug coil, negative slug coil", usual)
for _, up in ipairs{ -1, 0.5, 1, 2, 4 } do
    assert(signs(pickup(up):screwdriver()) == usual)
end
assert(signs(pickup(1, ll.cover{ size = { 40, 38, 20 }, at = { 0, 0, -7.4 }, thickness = 0.5, material = "nickel silver" })
    :screwdriver()) == usual)
local reversed = signs(pickup(0, nil, slug_coil:with{ hand = "ccw" }):screwdriver())
assert(reversed == "negative screw coil, negative screw coil, positive slug coil, positive slug coil", reversed)

-- Rows of one name are told apart, and a part is found by the name that tables give it.
local p = pickup(0)
assert(sound[1].pole == "pole 1, row 1" and sound[4].pole == "pole 2, row 2" and p:poles()[3].pole == "pole 1, row 2")
assert(math.abs(p:section{ part = "pole 1, row 2", at = -7 }.bz_mt) > 10)
local fine, message = pcall(p.section, p, { part = "pole 1", at = -7 })
assert(not fine and message:find("2 parts are named 'pole 1'; say which, the first of them being 'pole 1, row 1'", 1, true), message)
assert(pickup(0):with{ parts = { slugs, bar } }:poles()[1].pole == "pole 1")
