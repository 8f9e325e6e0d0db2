-- Plates and covers with holes: screws and poles pass through them and nowhere else; a steel plate with holes carries the flux around
-- them, and metal that is not magnetic its currents.
local function screws(count, material)
    return ll.row{ name = "screw", count = count, spacing = 10, part = ll.screw{ thread = 3, length = 20,
        head = { diameter = 5, height = 2 }, top = 1, at = { 0, -9.5 }, material = material or "steel 1010" } }
end
local function holes(count, diameter, y)
    local list = {}
    for i = 1, count do
        list[i] = { (i - (count + 1) / 2) * 10, y or 0, diameter }
    end
    return list
end
local function plate(material, list)
    return ll.plate{ name = "base", size = { 70, 12, 1 }, at = { 0, -9.5, -16 }, material = material, holes = list }
end
local function fits(...)
    return pcall(ll.pickup, { parts = { ... } })
end
assert(fits(screws(6), plate("nickel silver", holes(6, 3.4))))
assert(not fits(screws(6), plate("nickel silver")))
-- A washer as wide as that stands in the next screw: the answer names what has holes.
local fine, message = fits(screws(6), ll.ring{ name = "washer", outer = 30, inner = 3.4, length = 1, at = { -25, -9.5, -17.5 },
    material = "nickel silver" })
assert(not fine and message:find("'screw 2' cuts into part 'washer'", 1, true) and message:find("ll.plate{...}", 1, true), message)
for _, list in ipairs{ holes(5, 3.4), holes(6, 2.8), holes(6, 3.4, 1) } do
    fine, message = fits(screws(6), plate("nickel silver", list))
    assert(not fine and message:find("cuts into part 'base'", 1, true), message)
end
-- Poles that stand out of a cover.
local cover = { size = { 80, 40, 18 }, at = { 0, 0, -8.5 }, thickness = 0.5, material = "nickel silver" }
assert(not fits(screws(6), ll.cover(cover)))
cover.holes = holes(6, 5.4, -9.5)
assert(fits(screws(6), ll.cover(cover)))

-- A magnet over a plate of steel with a hole under it: more flux than without a plate, less than with a whole one; the pieces are one.
local function pole_mt(list)
    return ll.pickup{ accuracy = 3, parts = { ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, -8.5 },
        material = ll.magnet{ remanence = 1200, recoil = 1 }, north = "+z" }, list } }:poles{ standoff = 1 }[1].bz_mt
end
local function under(list)
    return ll.plate{ size = { 40, 30, 2 }, at = { 0, 0, -18.5 }, material = "steel 1010", holes = list }
end
local none, whole, holed = pole_mt{}, pole_mt(under()), pole_mt(under{ { 0, 0, 4 } })
local aside, cut = pole_mt(under{ { 15, 0, 4 } }), pole_mt(under{ { 15, 0, 0.3 } })
assert(whole > holed and holed > none, none .. " " .. holed .. " " .. whole)
assert(math.abs(aside / whole - 1) < 0.01 and math.abs(cut / whole - 1) < 0.005, aside .. " " .. cut .. " " .. whole)

-- Currents take the plate as whole; a ring beside a disc says what the hole under the core does: some per cent of the plate's share.
local function extra_ohm(part)
    return ll.pickup{ accuracy = 5, parts = { part }, coils = { ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 6, 6 },
        build = 4, height = 10, at = { 0, 0, -8 } } } }:impedance{ f = 5000 }.extra_ohm
end
local round = { outer = 40, inner = 3.4, length = 1, at = { 0, 0, -16 }, material = "nickel silver" }
local disc = extra_ohm(ll.rod{ diameter = 40, length = 1, at = round.at, material = round.material, pole = false })
assert(math.abs(extra_ohm(ll.ring(round)) / disc - 1) < 0.03)
assert(extra_ohm(plate("nickel silver", holes(6, 3.4))) == extra_ohm(plate("nickel silver")))

local function refused(text, f, ...)
    local fine, message = pcall(f, ...)
    assert(not fine and message:find(text, 1, true), message)
end
refused("ll.plate{...}", ll.block, { size = { 40, 30, 2 }, at = { 0, 0, 0 }, material = "steel 1010", holes = { { 0, 0, 3 } } })
refused("each hole is {x, y, diameter}", ll.plate, { size = { 40, 30, 2 }, at = { 0, 0, 0 }, material = "brass", holes = { { 30, 0, 3 } } })
refused("each hole is {x, y, diameter}", ll.plate, { size = { 40, 30, 2 }, at = { 0, 0, 0 }, material = "steel 1010",
    holes = { { 0, 0, -3 } } })
