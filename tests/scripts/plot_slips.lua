-- Slips in t:plot, p:map and p:draw: each message must be that of plot_slips.expected.
local t = ll.table{ title = "made up", columns = { "f_hz", "gain_db", "note" },
    rows = { { f_hz = 10, gain_db = -1, note = "a" }, { f_hz = 1000, gain_db = 2, note = "b" } } }
local many = ll.table{ columns = { "x_mm", "kind", "name" } }
for i = 1, 70 do
    many:add{ x_mm = i, kind = i, name = "n" .. i }
end

local p = ll.pickup{ name = "one", parts = { ll.rod{ diameter = 5, length = 17, at = { 0, 0, 0 },
    material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" } } }

local slips = {
    function() t:plot{} end,
    function() t:plot{ file = "x.jpg" } end,
    function() t:plot{ file = "../x.png" } end,
    function() t:plot{ file = "x.png", y = "gian_db" } end,
    function() t:plot{ file = "x.png", x = "hz" } end,
    function() t:plot{ file = "x.png", y = "note" } end,
    function() t:plot{ file = "x.png", y = {} } end,
    function() t:plot{ file = "x.png", log = "y" } end,
    function() t:plot{ file = "x.png", log = "z" } end,
    function() t:plot{ file = "x.png", stile = "points" } end,
    function() t:plot{ file = "x.png", width = 4000 } end,
    function() t:plot{ file = "x.png", by = "notes" } end,
    function() t.plot{ file = "x.png" } end,
    function() ll.table{ columns = { "a", "b" } }:plot{ file = "x.png" } end,
    function() many:plot{ file = "x.png", y = "x_mm", by = "kind", x = "x_mm" } end,
    function() many:plot{ file = "x.png", x = "name" } end,
    function() p:draw{ file = "x.bmp" } end,
    function() p:draw{ file = "x.png", string = 3 } end,
    function() p:draw{ file = "x.png", strings = ll.string{ gauge = 0.4, x = 0, z = 3 } } end,
    function() p:map{ file = "x.txt" } end,
    function() p:map{ file = "x.png", plane = "zx" } end,
    function() p:map{ file = "x.png", from = { 5, 5 }, to = { 5, 10 } } end,
    function() p:map{ file = "x.png", points = 1000 } end,
    function() t:plot{ file = "x.png" } end, -- nowhere to write
}
for i, slip in ipairs(slips) do
    local fine, message = pcall(slip)
    print(i, fine and "accepted!" or (string.gsub(message, "^.-:%d+: ", "")))
end
