-- ends with 0: sound files go below --out and nowhere else, and are no longer than allowed
local rod = ll.rod({ name = "pole", diameter = 5, length = 17, at = { 0, 0, -8.5 },
    material = ll.magnet({ remanence = 1000, recoil = 1 }), north = "+z" })
local p = ll.pickup({ parts = { rod }, coils = { ll.coil({ turns = 8000, opening = { 6, 6 }, build = 5, height = 11,
    at = { 0, 0, -8 } }) } })
local s = ll.string({ note = "E4", gauge = 0.25, x = 0, gap = 3 })
for _, name in ipairs({ "../x.wav", "/tmp/x.wav", "a/b.wav", ".hidden.wav", "x.lua", ".wav", "x\0.wav", "-x.wav" }) do
    assert(not pcall(p.listen, p, { strings = s, seconds = 0.01, file = name }), name)
end
local take = { pickup = p, strings = s, seconds = 0.01 }
assert(not pcall(ll.sound, { takes = { take, take }, pause = 60, file = "../x.wav" }))
assert(not pcall(ll.sound, { takes = { take, 3 }, file = "x.wav" }))
assert(not pcall(ll.sound, { takes = setmetatable({}, { __len = function() return 5 end }), file = "x.wav" }))
local long = {}
for i = 1, 20 do
    long[i] = { pickup = p, strings = s, seconds = 1 }
end
assert(not pcall(ll.sound, { takes = long, pause = 60, file = "x.wav" }))
