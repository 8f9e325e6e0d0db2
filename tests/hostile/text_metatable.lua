-- ends with 0: the methods of texts cannot be taken away or looked into
assert(getmetatable("") == "string")
assert(not pcall(setmetatable, "", {}))
assert(not pcall(rawset, getmetatable(""), "x", 1))
assert(("x").dump == nil)
