-- Typical mistakes; `lodeloom check` must find them all and say what mistakes.expected has.
local opening = { 6, 6 }

-- A misspelt field, a number in quotes, a sign, a place without its z.
ll.coil{ turns = 8000, opening = opening, build = 5, heigth = 10, at = { 0, 0, 0 } }
ll.coil{ turns = "8000", opening = opening, build = -5, height = 10, at = { 0, 0 } }
ll.coil{ turns = 8000, opening = opening, corner = 4, build = 5, height = 10, at = { 0, 0, 0 } }
ll.coil{ name = "bridge", turns = 8000, opening = opening, build = 5, height = 10, at = { 0, 0, 0 },
    wire = 42, hand = "left" }

-- A magnet without its north side, steel with one, a material that nobody has.
ll.rod{ diameter = 5, length = 17, at = { 0, 0, 0 }, material = "AlNiCo 5" }
ll.rod{ name = "core", diameter = 5, length = 17, at = { 0, 0, 0 }, material = "steel 1010", north = "+z" }
ll.block{ size = { 60, 10, 4 }, at = { 0, 0, 0 }, material = "ferite C5", north = "+y" }
ll.rod{ diameter = 5, length = 17, at = { 0, 0, 0 }, material = "brass", turn = { "x" } }
ll.steel{ saturation = 2 }

-- A string that floats nowhere, and one whose note is none.
ll.string{ note = "E4", gauge = 0.254, x = 0 }
ll.string{ note = "H4", gauge = 0.254, x = 0, gap = 2.5 }

-- Parts that cut into each other and into a winding; a nil in a list.
local pole = ll.rod{ name = "pole 3", diameter = 5, length = 17, at = { 0, 0, 0 }, material = "AlNiCo 5",
    north = "+z" }
local bar = ll.block{ name = "bar, bass side", size = { 60, 10, 4 }, at = { 0, 7.1, 0 },
    material = "ferrite C5", north = "-y" }
ll.pickup{ parts = { pole, bar } }
ll.pickup{ name = "neck", parts = { pole }, coils = {
    ll.coil{ turns = 8000, opening = { 4, 4 }, build = 5, height = 10, at = { 0, 0, 0 } } } }
ll.pickup{ parts = { pole, nil, bar } }

-- Readings: a string through a pole, a part that is not there.
local single = ll.pickup{ parts = { pole } , coils = {
    ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, 0 } } } }
single:sensitivity{ strings = ll.string{ note = "G3", gauge = 0.43, x = 0, z = 8 } }
single:section{ part = "pole 4", at = 0 }

-- What cannot be answered is told, and the check goes on behind it; what follows from it is not told again.
local unknown = single:sektion{ part = "pole 3", at = 0 }
local twice = ll.thou(2 * unknown[1].bz_mt) + 1
ll.rod{ diameter = twice, length = 17, at = { 0, 0, -twice }, material = "brass" }:moved(twice, 0, 0)
ll.pickup{ parts = { pole, ll.rood{ diameter = 5 } } }:poles():print()
for _, row in ipairs(single:section{ part = "pole 3", at = 100 }) do
    print("never" .. row.bz_mt)
end
local text = "the field is " .. single:poles{}[1].bz .. " mT"
ll.sweep{ vary = { { "n", { 1, 2 } } }, build = function(v) return v.m end, read = function(p) return p:poles() end }
ll.range(0, 10, -1)
single.name = text
ll.coil{ turns = 0, opening = opening, build = 5, height = 10, at = { 0, 0, 0 } }
