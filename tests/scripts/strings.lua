-- Strings: heights from gaps, the signs of linkage and voltage.
local function close(actual, expected, fraction)
    assert(math.abs(actual - expected) <= fraction * math.abs(expected),
        string.format("%.6g, expected %.6g", actual, expected))
end

local magnet = ll.magnet{ remanence = 1000, recoil = 1.05 }
local pole = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = magnet,
    north = "+z" }
local coil = ll.coil{ turns = 8000, opening = { 6, 6 }, build = 3, height = 10, at = { 0, 0, -8.5 } }
local function pickup(changes, north)
    return ll.pickup{ parts = { pole:with{ north = north } }, coils = { coil:with(changes) } }
end
local by_gap = ll.string{ note = "E4", gauge = 0.4, x = 0, gap = 2.8 }
local by_z = ll.string{ name = "by z", gauge = 0.4, x = 0, z = 3 }

-- A north pole under a ccw coil: the string's magnetisation adds flux, the more the nearer it is, so that the linkage
-- falls as it rises and -d(linkage)/dt is positive upwards.
local p = pickup{}
local both = p:sensitivity{ strings = { by_gap, by_z } }
local up = both[1].vertical_mv
assert(up > 0)
close(both[2].vertical_mv, up, 1e-9) -- 2.8 mm clear and half of 0.4 mm are 3 mm
assert(math.abs(both[1].horizontal_mv) < 0.02 * up) -- mirror symmetry

local linkage = p:linkage{ string = by_z, at = { { 0, 2.99 }, { 0, 3.01 } } }
close((linkage[1].linkage_mwb - linkage[2].linkage_mwb) / 0.02e-3, up, 0.02)

-- Turning over the winding, the hot lead or the magnet turns the sign, two of them leave it.
close(pickup{ hand = "cw" }:sensitivity{ strings = by_z }[1].vertical_mv, -up, 1e-6)
close(pickup{ hot = "start" }:sensitivity{ strings = by_z }[1].vertical_mv, -up, 1e-6)
close(pickup({}, "-z"):sensitivity{ strings = by_z }[1].vertical_mv, -up, 0.01)
close(pickup({ hand = "cw" }, "-z"):sensitivity{ strings = by_z }[1].vertical_mv, up, 0.01)
-- The linkage itself is counted from start to finish, whichever of them is hot.
close(pickup{ hot = "start" }:linkage{ string = by_z, at = { { 0, 3 } } }[1].linkage_mwb,
    p:linkage{ string = by_z, at = { { 0, 3 } } }[1].linkage_mwb, 1e-9)
