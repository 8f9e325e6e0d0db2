-- Words of a diagnosis that a hand can act on, over readings of many kinds: no size against its own name ("too high by -0.4"), no figure
-- for a size that is left open, no lists of rare sets of faults, no mend's risk while it is likelier sound, one sentence that says all;
-- readings in the order of what they settle a minute; what cannot be built is told.
local magnet = ll.magnet{ remanence = 1000, recoil = 1 }
local rods = ll.row{ count = 3, spacing = 10.4, part = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = magnet,
    north = "+z" } }
local coil = ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 28, 6 }, build = 4, height = 10, at = { 0, 0, -8.5 } }
local build = ll.pickup{ parts = { rods }, coils = { coil } }
local dcr, gauss = build:winding().dcr_ohm, {}
for i, row in ipairs(build:poles{ standoff = 1 }) do
    gauss[i] = row.bz_gauss
end
local function with(changes)
    local list = { table.unpack(gauss) }
    for i, factor in pairs(changes) do
        list[i] = factor * list[i]
    end
    return list
end
local l = build:impedance{ f = 1000 }[1].l_h

local function several(row)
    return string.find(row.fault, "; and ", 1, true) ~= nil
end

local function look(d)
    local first = d.faults[1]
    assert(#d.faults <= 8)
    for rank, row in ipairs(d.faults) do
        assert(row.rank == rank and not string.find(row.fitted, "-%d"), row.fitted)
        assert(rank == 1 or not several(row) or row.probability_percent >= 5, row.fault)
        assert(row.probability_percent <= first.probability_percent)
        for _, size in ipairs{ "too high by", "too low by", "too far by", "strength left", "of the turns", "it adds" } do
            assert(not string.find(row.fitted, size, 1, true) or string.find(row.fitted, " to ", 1, true), row.fitted)
        end
    end
    local text = d.faults:as("text")
    assert(not string.find(first.fault, "^sound") or not string.find(text, "mind:", 1, true), text)
    assert(not string.find(text, "mind: mind", 1, true))
    local says = d:says()
    assert(string.find(says, "%.$") and not string.find(says, "%d%.%d%d") and #says < 400, says)
    for _, key in ipairs{ "^Nothing found yet", "^Nothing wrong", "^Found: ", "^Likeliest: ", "^Not settled: ", "^No fault that has a name" } do
        d = string.find(says, key) and "said" or d
    end
    assert(d == "said", says)
end

local all = {
    {}, { output = "softer" }, { dcr = dcr }, { dcr = 1.2 * dcr }, { dcr = 0.9 * dcr, hum = 3 }, { dcr = "open", tap = "louder" },
    { dcr = dcr, gauss = with{ [2] = 0.8 } }, { dcr = dcr, gauss = with{ [2] = 1.25 } }, { dcr = dcr, gauss = with{ 0.8, 0.8, 0.8 }, output = -4 },
    { dcr = dcr, gauss = with{ [1] = -1, [3] = 0.5 }, output = "much softer" }, { dcr = 0.6 * dcr, inductance = { f = 1000, l = 3 * l } },
}
for _, readings in ipairs(all) do
    local d = ll.diagnose{ build = build, readings = readings }
    look(d)
    local last = math.huge
    for _, row in ipairs(d.next) do
        local worth = row.settles_bits and row.settles_bits / row.minutes
        assert(not worth or worth <= last + 1e-9, row.take)
        last = worth or last
    end
end

-- The ohm meter comes before taking apart, however much that would tell.
assert(ll.diagnose{ build = build, readings = {} }.next[1].minutes <= 2)

-- Rods between a plate above and one below: none can stand wrong, and each says so.
local plates = {}
for i, z in ipairs{ 0.6, -17.6 } do
    plates[i] = ll.block{ name = "plate " .. i, size = { 40, 20, 1 }, at = { 0, 0, z }, material = "brass" }
end
local shut = ll.pickup{ parts = { rods, plates }, coils = { coil:with{ height = 9 } } }
local text = ll.diagnose{ build = shut, readings = { dcr = dcr } }.faults:as("text")
for i = 1, 3 do
    assert(string.find(text, "magnet 'pole " .. i .. "' stands at the wrong height: it can move neither up nor down", 1, true), text)
end
assert(string.find(text, "all poles stand too low or too high: they can move neither up nor down", 1, true), text)
