-- ends with 0: nothing depends on addresses, clocks or the order of a hash
assert(tostring({}) == "table" and tostring(print) == "function")
assert(string.format("%s", {}) == "table")
assert(not pcall(string.format, "%p", {}))
assert(not pcall(math.randomseed))
local keys = {}
for key in pairs({ pear = 1, apple = 2, [3] = 3, [1] = 4, plum = 5 }) do
    keys[#keys + 1] = tostring(key)
end
assert(table.concat(keys, " ") == "1 3 apple pear plum")
