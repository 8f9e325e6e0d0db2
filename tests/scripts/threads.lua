-- Tables that come from the mesh, in print and as CSV: the same bytes on every run and with any number of threads; exact=yes adds
-- every bit of them.
local function show(t)
    t:print()
    for _, row in ipairs(given.exact and t or {}) do
        local cells = {}
        for name, value in pairs(row) do
            if math.type(value) == "float" then
                cells[#cells + 1] = string.format("%s %a", name, value)
            end
        end
        table.sort(cells)
        print(table.concat(cells, "  "))
    end
end
local screws = ll.row{ count = 3, spacing = 10.2, part = ll.screw{ thread = 3, length = 16, top = 0, at = { 0, 0 },
    head = { diameter = 5, height = 2 }, material = "steel 1010" } }
local bar = ll.block{ size = { 34, 10, 3.2 }, at = { 0, -7.5, -13 }, material = "ferrite C5", north = "+y" }
local coil = ll.coil{ turns = 8000, opening = { 27, 6 }, build = 4, height = 8, at = { 0, 0, -7 }, wire = ll.awg(42) }
local p = ll.pickup{ parts = { screws, bar }, coils = { coil }, accuracy = 5 }
local s = ll.string{ note = "G3", gauge = 0.43, x = 0, gap = 2.5 }
for _, t in ipairs{ p:poles(), p:winding(), p:sensitivity{ strings = s }, p:field{ { 0, 3, 4 }, { 5, 0, 2 } } } do
    show(t)
    print(t:as("csv"))
end
-- Bent magnets beside steel and a sheet: Newton's steps, orderings of the elimination, currents.
local rod = ll.rod{ name = "pole", diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 5", north = "+z",
    pole = true }
local plate = ll.block{ size = { 20, 20, 1 }, at = { 0, 0, -17.5 }, material = "steel 1018" }
local cover = ll.block{ size = { 20, 20, 0.5 }, at = { 0, 0, 1.5 }, material = "brass" }
local q = ll.pickup{ parts = { rod, plate, cover }, accuracy = 5,
    coils = { ll.coil{ turns = 8000, opening = { 6, 6 }, build = 4, height = 11, at = { 0, 0, -8 }, wire = ll.awg(42) } } }
-- In the middle the force to the side is a difference of equal ones, rounding alone; a little off it, nearly.
local e = { ll.string{ note = "E4", gauge = 0.25, x = 0, z = 4 }, ll.string{ note = "B3", gauge = 0.33, x = 0.01, z = 4 } }
for _, t in ipairs{ q:operating(), q:section{ part = "pole", at = -8 }, q:impedance{ f = { 100, 10000 } },
    q:pull{ strings = e } } do
    show(t)
end
