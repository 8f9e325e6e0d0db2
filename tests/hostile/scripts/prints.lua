-- Prints a table and a line; a file of it, and more lines, when asked for.
local t = ll.table{ columns = { "a", "words" }, rows = { { a = 1, words = "one" } } }
if given.file then
    t:save(given.file)
end
for i = 1, given.lines or 1 do
    print("line " .. i .. " of many lines that fill a disk")
end
t:print()
