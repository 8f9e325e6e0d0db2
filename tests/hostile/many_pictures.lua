-- ends with 3: pictures without end
local t = ll.table{ columns = { "x", "y" } }
for i = 1, 5000 do
    t:add{ x = i, y = math.sin(i) }
end
while true do
    t:plot{ file = "again.png", width = 400, height = 400 }
end
