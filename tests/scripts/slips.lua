-- Slips that end a run: each is caught here, and the messages must be those of slips.expected.
local pole = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, 0 }, material = "AlNiCo 5",
    north = "+z" }
local single = ll.pickup{ name = "single", parts = { pole }, coils = {
    ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, 0 } } } }
local bare = ll.pickup{ parts = { pole } }
local list = ll.table{ columns = { "x_mm", "bz_mt" }, rows = { { x_mm = 1, bz_mt = 2 }, { x_mm = 2, bz_mt = 1 } } }

local slips = {
    function() ll.coill{} end,
    function() pole.diameter = 3 end,
    function() return pole.lenght end,
    function() single.section{ part = "pole 1", at = 0 } end,
    function() single:sektion{ part = "pole 1", at = 0 } end,
    function() single:section{ part = "pole 1", at = 20 } end,
    function() single:field{ { 0, 0 } } end,
    function() single:winding{ temprature = 30 } end,
    function() bare:impedance{ f = { 1000 } } end,
    function() return list[1].bz end,
    function() return list.bz_mt end,
    function() list:column("by_mt") end,
    function() list:save("x.pdf") end,
    function() list:add{ z_mm = 3 } end,
    function() ll.range(0, 10, -1) end,
    function() ll.row{ count = 2.5, spacing = 10, part = pole } end,
    function() ll.pickup{ pole } end,
    function() ll.pickup{} end,
    function() ll.magnet{ curve = { { -50, 1 }, { 0, 0 } } } end,
    function() ll.sweep{ vary = { { "angle", { 0 } } }, build = function(v) return v.angel end, read = print } end,
    function() ll.sweep{ vary = { { "angle", { 0 } } }, build = function() return {} end, read = function() return 1 end } end,
    function() ll.sweep{ vary = { { "angle", { 0 } } }, build = function() end, read = print } end,
}
for i, slip in ipairs(slips) do
    local fine, message = pcall(slip)
    print(fine and i .. " went through" or message)
end
