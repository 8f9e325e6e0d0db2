-- Parts that touch, or nearly: a blade on a bar magnet, and a screw close under a cover. A diagnosis, a spread and a balance move them
-- only where there is room, and faults that cannot be built are told.
local function blade_pickup(gap)
    local blade = ll.block{ name = "blade", pole = true, size = { 40, 2.5, 14 }, at = { 0, 0, -7 }, material = "steel 1010" }
    local bar = ll.block{ name = "bar", size = { 40, 12, 5 }, at = { 0, 0, -16.5 - gap }, material = "ferrite C8", north = "+z" }
    return ll.pickup{ parts = { blade, bar }, accuracy = 10, coils = { ll.coil{ turns = 9000, wire = ll.awg(43), opening = { 42, 3.6 },
        build = 4, height = 9, at = { 0, 0, -7 } } } }
end
for _, gap in ipairs{ 0, 0.05, 0.7, 1.4 } do
    local p = blade_pickup(gap)
    local d = ll.diagnose{ build = p, readings = { dcr = p:winding().dcr_ohm } }
    assert(string.find(d.faults[1].fault, "sound", 1, true), d.faults[1].fault)
    local text = d.faults:as("text")
    assert(string.find(text, "not thought of, as it cannot be built: magnet 'bar' is a quarter turn wrong", 1, true), text)
    -- Too high it can stand, and too low by no more than there is air: a field that is weaker by a fifth is looked for elsewhere.
    local weak = ll.diagnose{ build = p, readings = { dcr = p:winding().dcr_ohm, gauss = { 0.8 * p:poles{ standoff = 1 }[1].bz_gauss } } }
    for _, row in ipairs(weak.faults) do
        local size = string.match(row.fitted, "too low by ([%d.]+) mm") or string.match(row.fitted, "too low by [%d.]+ mm, [%d.]+ to ([%d.]+) mm")
        assert(not size or tonumber(size) <= gap + 0.05, row.fitted)
    end
    assert(#p:spread{ of = { "heights" }, read = function(q)
        return { bz_mt = q:poles{ standoff = 1 }[1].bz_mt }
    end } == 1)
end

-- Strings over two screws, under a cover that leaves the screws 0.3 mm: balance says what stops them.
local magnet = ll.magnet{ remanence = 400, recoil = 1 }
local rods = ll.row{ count = 2, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 15, at = { 0, 0, -7.5 }, material = magnet,
    north = "+z" } }
local covered = ll.pickup{ accuracy = 10, parts = { rods, ll.cover{ size = { 30, 20, 18 }, at = { 0, 0, -8.2 }, thickness = 0.5,
    material = "nickel silver" } }, coils = { ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 17, 6 }, build = 3, height = 10,
    at = { 0, 0, -8 } } } }
local t = ll.balance{ build = covered, want = { 3, -3 }, strings = { ll.string{ note = "D3", gauge = 0.66, wound = true, x = -5.2, z = 4 },
    ll.string{ note = "G3", gauge = 0.43, x = 5.2, z = 4 } } }
for _, row in ipairs(t) do
    assert(row.raise_mm <= 0.301, row.raise_mm)
end
assert(t[1].limited_by == "the part above it" or t[2].limited_by == "the part above it", t:as("text"))
