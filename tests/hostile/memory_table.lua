-- ends with 3: a table that grows for ever meets the memory limit
local list = {}
for i = 1, math.huge do
    list[i] = { i }
end
