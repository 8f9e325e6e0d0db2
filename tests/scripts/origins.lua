-- What a table rests on goes with it: the mesh error of its readings, and what was odd or assumed in the descriptions.
local rods = ll.row{ count = 2, spacing = 10, part = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 5",
    north = "+z" } }
local coil = ll.coil{ turns = 8000, opening = { 16, 6 }, build = 4.5, height = 10, at = { 0, 0, -8.5 }, wire = ll.awg(42) }
local p = ll.pickup{ parts = { rods }, coils = { coil } }
local wound = ll.string{ note = "D3", gauge = 0.66, x = -5, gap = 2.5, wound = true } -- its wrap is assumed

local function says(t, start)
    local found = 0
    for _, note in ipairs(t:notes()) do
        found = string.find(note, start, 1, true) == 1 and found + 1 or found
    end
    return found
end
local MESH, ASSUMED = "mesh error: at most about ", "assumed: wound strings without 'wrap'"

local field, heard = p:field{ { 0, 0, 3 } }, p:sensitivity{ strings = wound }
assert(says(field, MESH) == 1 and says(field, ASSUMED) == 0)
assert(says(heard, MESH) == 1 and says(heard, ASSUMED) == 1)

-- Each table of a network, and not the first alone; a network of measured coils needs no mesh.
local n = ll.network{ from = p, volume = 250e3 }
local first = n:peak():mesh_error()
assert(string.find(first, MESH, 1, true) == 1)
assert(n:peak():mesh_error() == first and n:response{ f = 1000 }:mesh_error() == first and n:noise():mesh_error() == first)
assert(says(ll.network{ from = ll.lumped{ r = 7500, l = 2.5 } }:peak(), MESH) == 0)

-- A table of a script's own: from a table, from several, by name, with rows of a table, and with a row of it.
local function own(fields)
    fields.columns = fields.columns or { "x" }
    return ll.table(fields)
end
assert(says(own{}, MESH) == 0 and string.find(own{}:mesh_error(), "none"))
assert(own{ from = heard }:mesh_error() == heard:mesh_error() and says(own{ from = heard }, ASSUMED) == 1)
local both = own{ from = { field, heard, heard } }
assert(says(both, ASSUMED) == 1 and says(both, MESH) == (field:mesh_error() == heard:mesh_error() and 1 or 2))
local named = own{ from = { field = field, output = heard } }
assert(says(named, "field: " .. MESH) == 1 and says(named, "output: " .. MESH) == 1 and says(named, ASSUMED) == 1)
assert(says(own{ columns = heard:columns(), rows = heard }, MESH) == 1)
assert(says(own{ columns = heard:columns(), rows = heard, notes = { heard:mesh_error() } }, MESH) == 1)
assert(says(own{ columns = heard:columns() }:add(heard[1]), ASSUMED) == 1)
assert(says(own{ from = own{ from = heard } }, MESH) == 1)
for _, wrong in ipairs{ 1, "t", { 1 }, { {} } } do
    local fine, message = pcall(own, { from = wrong })
    assert(not fine and string.find(message, "'from'", 1, true), message)
end

-- A sweep has it of its points, whatever read makes of the readings, and a sweep around a sweep of both.
local function sweep(read)
    return ll.sweep{ vary = { { "z", { 2, 3 } } }, build = function() return p end, read = read }
end
local swept = sweep(function(q) return { mv = 2 * q:sensitivity{ strings = wound }[1].vertical_mv } end)
assert(says(swept, MESH) == 1 and says(swept, ASSUMED) == 1)
assert(says(own{ from = swept }, ASSUMED) == 1)
local outer = sweep(function(q, v)
    local inner = ll.sweep{ vary = { { "y", { 0, 1 } } }, build = function() return q end, read = function(r, w)
        return { bz_mt = r:field{ { 0, w.y, v.z } }[1].bz_mt }
    end }
    return { mean_mt = (inner[1].bz_mt + inner[2].bz_mt) / 2 }
end)
assert(says(outer, MESH) == 1 and says(outer, ASSUMED) == 0)
assert(says(sweep(function(_, v) return { a = v.z } end), MESH) == 0)
-- A reading that failed and was caught leaves nothing behind.
assert(not pcall(sweep, function(q) q:field{ { 0, 0, 3 } } error("no") end))
assert(says(sweep(function(_, v) return { a = v.z } end), MESH) == 0)

-- Tables that are made of several readings.
local blend = ll.blend{ pickups = { p, p }, strings = wound }
assert(says(blend, MESH) == 1 and says(blend, ASSUMED) == 1)

-- JSON has it as a number, and each column's meaning.
local json = field:as("json")
assert(string.find(json, '"mesh_error":[%d.e-]+,"mesh_error_of":"the largest value","mesh_error_met":true}') and string.find(json, '"error":"mesh"', 1, true))
assert(string.find(json, '"name":"bz_mt","unit":"mT","meaning":"flux density up to the strings"', 1, true))
assert(not string.find(own{}:as("json"), "mesh_error", 1, true) and not string.find(own{}:as("json"), "meaning", 1, true))

-- What a column means is asked by reading, by column, or for all.
assert(#ll.columns("pull") == 10 and ll.columns("pull")[2].unit == "mN" and #ll.columns("pickup.pull") == 10)
assert(string.find(ll.help("pull"), "vertical_cents", 1, true) and string.find(ll.help("bz_gauss"), "pickup:poles", 1, true))
local fine, message = pcall(ll.columns, "pul")
assert(not fine and string.find(message, "'pull'", 1, true))
