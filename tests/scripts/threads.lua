-- Tables that come from the mesh, in print and as CSV: the same bytes on every run and with any number of threads.
local screws = ll.row{ count = 3, spacing = 10.2, part = ll.screw{ thread = 3, length = 16, top = 0, at = { 0, 0 },
    head = { diameter = 5, height = 2 }, material = "steel 1010" } }
local bar = ll.block{ size = { 34, 10, 3.2 }, at = { 0, -7.5, -13 }, material = "ferrite C5", north = "+y" }
local coil = ll.coil{ turns = 8000, opening = { 27, 6 }, build = 4, height = 8, at = { 0, 0, -7 }, wire = ll.awg(42) }
local p = ll.pickup{ parts = { screws, bar }, coils = { coil }, accuracy = 5 }
local s = ll.string{ note = "G3", gauge = 0.43, x = 0, gap = 2.5 }
for _, t in ipairs{ p:poles(), p:winding(), p:sensitivity{ strings = s }, p:field{ { 0, 3, 4 }, { 5, 0, 2 } } } do
    t:print()
    print(t:as("csv"))
end
