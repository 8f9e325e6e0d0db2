-- Prints a table and a line; a file of it, and more rows and lines, when asked for.
local t = ll.table{ columns = { "a", "words" } }
for i = 1, given.rows or 1 do
    t:add{ a = i, words = "one" }
end
if given.file then
    t:save(given.file)
end
for i = 1, given.lines or 1 do
    print("line " .. i .. " of many lines that fill a disk")
end
t:print()
