-- Values of the command line: numbers stay numbers, the rest is text, and nothing can be changed.
-- given: turns=8000 name=neck f=1e3
assert(given.turns == 8000 and given.name == "neck" and given.f == 1000 and given.other == nil)
assert(not pcall(function() given.turns = 1 end))
local names = {}
for name in pairs(given) do
    names[#names + 1] = name
end
assert(#names == 3)
