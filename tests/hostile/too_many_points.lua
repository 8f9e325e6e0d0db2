-- ends with 1: a list of points has a length that can be dealt with
local points, point = {}, { 0, 0, 0 }
for i = 1, 1000001 do
    points[i] = point
end
ll.pickup({ parts = { ll.rod({ diameter = 5, length = 10, at = { 0, 0, 0 }, material = "brass" }) } }):field(points)
