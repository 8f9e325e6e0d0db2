-- ends with 0: pairs bears that what it walks over is taken away
local t = { a = 1, b = 2, c = 3 }
local seen = 0
for key in pairs(t) do
    t.a, t.b, t.c = nil, nil, nil
    seen = seen + 1
end
assert(seen == 1)
