-- ends with 3: readings of many strings meet the time limit between two of them
local pole = ll.rod({ name = "pole", diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = "steel 1010" })
local bar = ll.block({ size = { 20, 20, 3 }, at = { 0, 0, -20 }, material = "ferrite C5", north = "+z" })
local p = ll.pickup({ parts = { pole, bar }, coils = { ll.coil({ turns = 8000, opening = { 6, 6 }, build = 5,
    height = 11, at = { 0, 0, -8 } }) } })
local strings = {}
for i = 1, 5000 do
    strings[i] = ll.string({ note = "E4", gauge = 0.25, x = 0, gap = 2 })
end
p:pull({ strings = strings })
