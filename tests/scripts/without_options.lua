-- Every reading asked without its options, and of a pickup that is wrong: in a check as in a run that is answered, never more than that.
local rod = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = ll.magnet{ remanence = 1000, recoil = 1 },
    north = "+z" }
local p = ll.pickup{ parts = { rod }, coils = { ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, -8.5 },
    wire = ll.awg(42) } } }
local n = ll.network{ from = ll.lumped{ r = 7500, l = 2.5 }, input = 1e6 }
local asked, of = 0, { pickup = p, network = n }
local seen = {}
for _, row in ipairs(ll.columns()) do
    local noun, name = string.match(row.reading, "^(.*)%.(.-)$")
    if of[noun] and not seen[row.reading] then
        seen[row.reading] = true
        asked = asked + 1
        for _, options in ipairs{ {}, { at = { 0, 1 } }, { f = { 100 } }, { strings = {} }, { no = "such field" } } do
            pcall(of[noun][name], of[noun], options)
        end
        pcall(of[noun][name], of[noun])
    end
end
assert(asked > 18, asked)
