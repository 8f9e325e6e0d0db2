-- ends with 0: a table of very many columns is searched for the name that was meant
local columns = {}
for i = 1, 20000 do
    columns[i] = "column" .. i
end
local t = ll.table({ columns = columns })
local fine, message = pcall(t.column, t, "colum7")
assert(not fine and string.find(message, "did you mean 'column7'", 1, true))
