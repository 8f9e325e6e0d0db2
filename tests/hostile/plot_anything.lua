-- ends with 0: texts that are no texts, huge and tiny numbers, and many points end in a picture or in a message
local t = ll.table{ columns = { "x", "y", "by" } }
for i, x in ipairs{ -1e308, -1, 0, 1e-308, 1, 1e308 } do
    t:add{ x = x, y = x, by = "\xff\x01<&\"" .. i }
end
for _, ending in ipairs{ "png", "svg", "pdf" } do
    for _, log in ipairs{ "none", "x", "y", "xy" } do
        pcall(t.plot, t, { file = "anything." .. ending, log = log, by = "by" })
        pcall(t.plot, t, { file = "anything." .. ending, log = log, x = "by", y = "y", style = "stems" })
        pcall(t.plot, t, { file = "anything." .. ending, title = "\xff\xfe\xc3", y = "y", log = log, style = "points" })
    end
end
local same = ll.table{ columns = { "x_mm", "y_mm" }, rows = { { x_mm = 1e300, y_mm = 1e300 } } }
pcall(same.plot, same, { file = "same.png" })
pcall(same.plot, same, { file = "same.png", width = 40, height = 40, log = "xy" })
local odd = ll.table{ columns = { "\xff\xfe", "\xc3(" }, rows = { { ["\xff\xfe"] = 1, ["\xc3("] = 2 } } }
odd:plot{ file = "odd.svg" }
local given = { file = "loop.png" }
given.y = given
pcall(t.plot, t, given)
