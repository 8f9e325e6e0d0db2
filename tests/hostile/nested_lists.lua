-- ends with 1: a list of parts that holds itself
local list = {}
for i = 1, 8 do
    list[i] = list
end
ll.pickup({ parts = list })
