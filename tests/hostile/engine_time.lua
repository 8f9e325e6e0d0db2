-- ends with 3: the engine, too, meets the time limit
local screws = {}
for i = 1, 60 do
    screws[i] = ll.screw({ thread = 3, length = 16, head = { diameter = 5, height = 2 }, top = 0, at = { i * 7, 0 },
        material = "steel 1010" })
end
local bar = ll.block({ size = { 400, 10, 4 }, at = { 200, 20, -8 }, material = "ferrite C5", north = "+y" })
ll.pickup({ parts = { screws, bar }, accuracy = 0.05 }):poles()
