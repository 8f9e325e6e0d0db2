-- ends with 0: a script that takes the refusal for itself runs without --out
-- options: none
-- says: going on~
local fine, message = pcall(function() ll.table({ columns = { "a" }, rows = { { a = 1 } } }):save("x.csv") end)
assert(not fine and string.find(message, "start with --out DIR", 1, true))
local thread = coroutine.create(function() ll.table({ columns = { "a" }, rows = { { a = 1 } } }):save("x.csv") end)
assert(not coroutine.resume(thread))
if given.never then
    ll.table({ columns = { "a" }, rows = { { a = 1 } } }):save("x.csv")
end
print("going on")
