-- What a script says reaches the engine: units, axes, turns, north sides.
local function close(actual, expected, fraction)
    assert(math.abs(actual - expected) <= fraction * math.abs(expected),
        string.format("%.6g, expected %.6g", actual, expected))
end

-- A rod of 5 mm by 17 mm, 1.2 T: B on its axis by the closed form of a uniformly magnetised cylinder
-- (E. P. Furlani, Permanent Magnet and Electromechanical Devices, 2001, eq. for a cylinder magnet; digits computed).
local strong = ll.magnet{ remanence = 1200, recoil = 1 }
local rod = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = strong, north = "+z" }
local function bz(part, x, y, z)
    return ll.pickup{ parts = { part } }:field{ { x, y, z } }[1].bz_mt
end
close(bz(rod, 0, 0, 1), 371.461, 1e-4)
close(bz(rod, 0, 0, 5), 59.507, 1e-4)

-- Copies, and the part they come from.
close(bz(rod:moved(3, -2, 1), 3, -2, 2), 371.461, 1e-4)
close(bz(rod:with{ north = "-z" }, 0, 0, 1), -371.461, 1e-4)
close(bz(rod:with{ charge = 0.5 }, 0, 0, 1), 0.5 * 371.461, 1e-4)
close(bz(rod:turned("x", 180), 0, 0, 1), -371.461, 1e-4)
close(bz(rod, 0, 0, 1), 371.461, 1e-4)

-- Right-hand rule: a quarter turn about x takes +z to -y, about y takes +z to +x.
local function b(part, x, y, z)
    return ll.pickup{ parts = { part } }:field{ { x, y, z } }[1]
end
local centred = rod:with{ at = { 0, 0, 0 } }
close(b(centred:turned("x", 90), 0, -9.5, 0).by_mt, -371.461, 1e-4)
close(b(centred:turned("y", 90), 9.5, 0, 0).bx_mt, 371.461, 1e-4)
-- Two turns one after the other, in one list or by two calls.
local both = centred:with{ turn = { { "x", 90 }, { "z", 90 } } }
close(b(both, 9.5, 0, 0).bx_mt, 371.461, 1e-4)
close(b(centred:turned("x", 90):turned("z", 90), 9.5, 0, 0).bx_mt, 371.461, 1e-4)

-- A row: names from bass to treble, evenly about the part's own place.
local row = ll.row{ count = 6, spacing = 10.2, part = rod }
assert(#row == 6 and row[1].name == "pole 1" and row[6].name == "pole 6")
close(row[1].at[1], -25.5, 1e-12)
close(row[6].at[1], 25.5, 1e-12)

-- The poles of a row with north up read N, upside down S; gauss are ten to the millitesla.
for shows, north in pairs{ N = "+z", S = "-z" } do
    local poles = ll.pickup{ parts = { ll.row{ count = 2, spacing = 10, part = rod:with{ north = north } } } }
        :poles{ standoff = 1 }
    assert(#poles == 2 and poles[1].shows == shows and poles[2].pole == "pole 2")
    close(poles[1].bz_gauss, 10 * poles[1].bz_mt, 1e-12)
end
assert(ll.pickup{ parts = { rod:with{ name = "pole 1", charge = 0 } } }:poles{}[1].shows == "weak")

-- A screw stands by its top.
local screw = ll.screw{ thread = 3, length = 20, head = { diameter = 5, height = 2 }, top = 1, at = { 0, 0 },
    material = strong, north = "+z" }
local below, above = screw:moved(0, 0, -1), screw
close(bz(below, 0, 0, 1), bz(above, 0, 0, 2), 1e-6)

close(ll.inch(1), 25.4, 1e-12)
close(ll.thou(10), 0.254, 1e-12)
close(ll.gauss(10), 1, 1e-12)
assert(#ll.range(0, 1, 0.1) == 11 and #ll.range(0, 270, 90) == 4 and ll.range(3, 1, -1)[3] == 1)
local decade = ll.log_range(10, 1000, 5)
assert(#decade == 11 and decade[1] == 10 and decade[11] == 1000)
close(decade[6], 100, 1e-12)
close(ll.string{ note = "E4", gauge = 0.25, x = 0, z = 1 }:frequency(), 329.628, 1e-5) -- equal temperament, ISO 16
close(ll.string{ note = "Bb1", gauge = 0.25, x = 0, z = 1, fret = 12 }:frequency(), 116.541, 1e-5)
