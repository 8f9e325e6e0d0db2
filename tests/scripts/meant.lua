-- What people write in another way than the manual, and what is plain all the same.
local exact = ll.magnet{ remanence = 1000, recoil = 1 }
local rod = ll.rod{ name = "pole 1", diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = exact, north = "+z", pole = true }
local coil = ll.coil{ turns = 7900, wire = ll.awg(42), opening = { 58, 5.2 }, build = 3.5, height = 11, at = { 0, 0, -8 } }
local p = ll.pickup{ parts = { rod }, coils = { coil } }

-- Points with their name.
local named, bare = p:field{ points = { { 0, 0, 3 }, { 0, 0, 5 } } }, p:field{ { 0, 0, 3 }, { 0, 0, 5 } }
assert(#named == 2 and named[2].bz_mt == bare[2].bz_mt)

-- Ways as a bench calls them.
for way, side in pairs{ up = "+z", down = "-z", neck = "+y", bridge = "-y", treble = "+x", bass = "-x" } do
    local function over(north)
        return ll.pickup{ parts = { rod:with{ north = north } } }:field{ { 3, 2, 1 } }[1]
    end
    assert(over(way).bz_mt == over(side).bz_mt and over(way).bx_mt == over(side).bx_mt, way)
end

-- Names of the trade.
for name, means in pairs{ ["Alnico V"] = "AlNiCo 5", ["ceramic 8"] = "ferrite C8", ["neo N35"] = "NdFeB N35", A5 = "AlNiCo 5",
    ["german silver"] = "nickel silver" } do
    assert(ll.material(name):figures()[1].name == means, name)
    assert(ll.rod{ diameter = 5, length = 17, at = { 0, 0, 0 }, material = name, north = means ~= "nickel silver" and "+z" or nil })
end
assert(ll.materials("alnico5"):as("text") == ll.materials("AlNiCo 5"):as("text"))

-- One table for a list of tables.
ll.report{ file = "one.txt", tables = p:winding() }

-- A string beside every pole has none to set.
local fine, message = pcall(ll.balance, { build = p, strings = ll.string{ note = "E4", gauge = 0.25, x = 40, gap = 2 } })
assert(not fine and string.find(message, "string 'E4' has no pole below it: the nearest, pole 'pole 1', ends 37.6 mm beside it", 1, true),
    message)

-- A word asked of what does not have it names the one that does.
for _, case in ipairs{
    { "ll.network{...}?", function() return p.network end }, { "ll.diagnose{...}?", function() return p.diagnose end },
    { "pickup:pull{...}?", function() return ll.string{ note = "E4", gauge = 0.25, x = 0, gap = 2 }.pull end },
    { "pickup:field(points)?", function() return coil.field end }, { "pickup:impedance{...}?", function() return ll.impedance end },
    { "'lead'?", function() return p.lea end }, { "ll.fields?", function() return ll.feilds end } } do
    fine, message = pcall(case[2])
    assert(not fine and string.find(message, "did you mean " .. case[1], 1, true), message)
end

-- Words of the trade that are no words of the module.
for _, case in ipairs{ { "pole", "; write ll.rod{...}, or ll.screw{...}" }, { "baseplate", "; write ll.plate{...}" }, { "blade", "; write ll.block{...}" },
    { "pot", "; write ll.network{...}" }, { "dcr", "; write pickup:winding()" }, { "alnico", 'write material = "ferrite C5"' } } do
    fine, message = pcall(function() return ll[case[1]] end)
    assert(not fine and string.find(message, case[2], 1, true), message)
end

-- A diagnosis as text is what it prints.
local d = ll.diagnose{ build = p, readings = { dcr = 5700 } }
local text = tostring(d)
for _, title in ipairs{ "What is wrong\n", "Readings\n", "What to measure next\n" } do
    assert(string.find(text, title, 1, true), text)
end

-- Fahrenheit is met on benches, and told.
local warm = p:winding{ temperature = 72 }
assert(string.find(table.concat(warm:notes(), "\n"), "72 degrees Fahrenheit are written 22.2222", 1, true))
assert(not string.find(table.concat(p:winding{ temperature = 30 }:notes(), "\n"), "Fahrenheit", 1, true))
