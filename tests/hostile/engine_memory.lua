-- ends with 3: nor may the engine take memory without end, though Lua does not see it
-- options: time
local screws = {}
for i = 1, 100 do
    screws[i] = ll.screw({ thread = 3, length = 16, head = { diameter = 5, height = 2 }, top = 0, at = { i * 7, 0 },
        material = "steel 1010" })
end
local bar = ll.block({ size = { 700, 10, 4 }, at = { 350, 20, -8 }, material = "ferrite C5", north = "+y" })
ll.pickup({ parts = { screws, bar }, accuracy = 0.05 }):poles()
