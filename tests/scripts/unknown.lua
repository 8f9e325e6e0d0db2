-- A pickup without a drawing: wire, turns and kind come back from what meters read of a build made otherwise than the hypotheses are,
-- with other sizes, heights and charge.
local rods = ll.row{ count = 6, spacing = 10.1, part = ll.rod{ diameter = 4.9, length = 18.5, at = { 0, 0, -9.25 }, material = "AlNiCo 5",
    north = "-z", charge = 0.8 } }
local wires_seen = 0
for _, truth in ipairs{ { 42, 7600 }, { 43, 9000 }, { 41, 5200 } } do
    local gauge, turns = truth[1], truth[2]
    local coil = ll.coil{ turns = turns, wire = ll.awg(gauge), opening = { 58, 5.4 }, build = 4.2, height = 11, at = { 0, 0, -8.5 } }
    local p = ll.pickup{ parts = { rods }, coils = { coil }, accuracy = 5 }
    local gauss = p:field{ { 5, 0, 1 } }[1].bz_mt * 10
    local builds, wires, following = ll.identify{ coil = { 66.4, 13.8, 11 }, dcr = p:winding().dcr_ohm,
        inductance = p:impedance{ f = 1000 }[1].l_h, gauss = { gauss } }
    assert(builds[1].build == "six magnet rods in one coil" and builds[1].magnet == "AlNiCo 5", builds:as("text"))
    local right
    for rank, row in ipairs(wires) do
        right = row.wire == string.format("AWG %d", gauge) and rank <= 2 and row or right
    end
    assert(right and right.from < turns and turns < right.to, turns .. "\n" .. wires:as("text"))
    for _, row in ipairs(following) do
        assert(not string.find(row.take, "resistance", 1, true))
    end
end
-- Poles wider than the winding are refused with what to do.
local fine, message = pcall(ll.identify, { coil = { 60, 4, 10 }, pole = 6 })
assert(not fine and string.find(message, "measure it again", 1, true), message)
-- Two coils in series, seen as such.
local _, wires = ll.identify{ coil = { 68, 16, 8 }, looks = "two coils", dcr = 8200, inductance = 4.4 }
assert(#wires > 0 and wires[1].turns > 3500 and wires[1].turns < 6500, wires:as("text"))
