-- A sweep of some rows whose values hang on what is given, on a module and on chance. `late` requires it inside of build.
local module = not given.late and require("journal_part")
local seed = given.seed
if seed then
    math.randomseed(seed)
end
local function build()
    return (module or require("journal_part")).make(math.random())
end
local function read(rod, v)
    return { gap = v.n + (given.gap or 2), length = rod.length, draw = math.random(1000) }
end
local before = math.random()
local inner = ll.sweep{ vary = { { "n", ll.range(1, 6) } }, file = given.file, build = build, read = read }
-- Points around points, and what is drawn after a sweep.
local outer = ll.sweep{ vary = { { "m", { 1, 2 } } }, build = function() return 1 end, read = function()
    return { first = math.random(), rows = ll.sweep{ vary = { { "n", { 1, 2 } } }, build = build, read = read }:as("csv"), last = math.random() }
end }
for _, t in ipairs{ inner, outer } do
    print(t:as("csv"))
end
print(before, math.random())
