-- ends with 1: the rows of a finished sweep that was not printed yet are shown when a later line is wrong; those of a printed one not again
-- says: n,twice~1,2~~n,inner~1,2~2,2~
local function sweep(read)
    return ll.sweep{ vary = { { "n", { 1, 2 } } }, build = function() return 1 end, read = read }
end
local first = sweep(function(_, v) return { twice = 2 * v.n } end)
print((first:as("csv"):gsub("2,4\r\n", "")))
-- A sweep within a sweep keeps its rows to itself.
local second = sweep(function()
    local inner = sweep(function() return { a = 1 } end)
    return { inner = #inner }
end)
second:prnt()
