-- ends with 0: nothing loads or dumps bytecode
for _, name in ipairs({ "load", "loadstring", "loadfile", "dofile", "xpcall", "collectgarbage", "io",
    "os", "debug", "package" }) do
    assert(rawget(_G, name) == nil, name)
end
assert(string.dump == nil and string.rep ~= nil)
