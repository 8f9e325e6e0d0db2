-- Rods charged, knocked back and stabilised by p:charge, their neighbours, and what is refused.
local rod = ll.rod{ name = "rod", diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 2", north = "+z" }
-- Shows the table where something does not hold.
local function must(holds, of)
    if not holds then
        error(tostring(of), 2)
    end
end
local home = ll.pickup{ name = "alone", parts = { rod } }

local function blocks(gap, north, remanence, others)
    local function block(z)
        return ll.block{ size = { 20, 20, 10 }, at = { 0, 0, z }, north = north,
            material = ll.magnet{ remanence = remanence, recoil = 1.05 } }
    end
    return ll.pickup{ name = "blocks", parts = { rod, block(gap + 5), block(-17 - gap - 5), others } }
end

-- Two strong blocks charge it to the full: common practice, no source, and common experience of 3 to 5 times the coercive field.
local t = home:charge{ through = blocks(0.1, "+z", 1300) }
must(#t == 3 and t[1].stage == "before" and t[2].stage == "blocks" and t[3].stage == "after", t)
must(math.abs(t[1].face_gauss) < 1 and t[2].face_gauss == nil, t)
must(t[2].turned_percent > 98 and t[2].h_kam > 150, t)
must(t[3].of_full_percent > 98 and t[3].of_full_percent < 100.5 and math.abs(t[3].face_gauss - 10 * t[3].face_mt) < 0.01, t)

-- It reads what a rod reads that `operating` and `field` know as charged in place.
local known = home:field{ { 0, 0, 0.5 } }[1].bz_mt
must(math.abs(t[3].face_mt / known - 1) < 0.02, t)

-- Knocked back, and stable from then on: half that field again takes nothing more.
local once = home:charge{ before = "full", through = blocks(7, "-z", 350) }
local twice = home:charge{ before = "full", through = { blocks(7, "-z", 350), home, blocks(7, "-z", 150), home } }
must(once[3].of_full_percent < 90 and once[3].of_full_percent > 40, once)
must(math.abs(twice[#twice].of_full_percent - once[3].of_full_percent) < 0.5, twice)

-- A neighbour that was virgin takes a little; a bar of ferrite is followed only when it is named.
local beside = rod:with{ name = "beside" }:moved(20, 0, 0)
local two = ll.pickup{ parts = { rod, beside } }
local n = two:charge{ through = blocks(0.1, "+z", 1300, beside) }
must(n[#n - 1].part == "rod" and n[#n].part == "beside", n)
must(math.abs(n[#n].of_full_percent) < 50 and math.abs(n[#n].of_full_percent) > 0.1, n)
local bar = ll.block{ name = "bar", size = { 40, 10, 3 }, at = { 0, 0, 0 }, material = "ferrite C8", north = "+z" }
local lone = ll.pickup{ parts = { bar } }
local between = ll.pickup{ name = "coil", parts = { bar },
    coils = { ll.coil{ turns = 100, opening = { 44, 14 }, build = 5, height = 20, at = { 0, 0, 0 } } } }
local f = lone:charge{ part = "bar", coercivity = 231, through = between, currents = { 20 } }
must(f[3].of_full_percent < 1, f) -- far from 231 kA/m

-- A keeper of steel that saturates, in place of one block, helps the other.
local keeper = ll.block{ size = { 40, 20, 5 }, at = { 0, 0, -17.05 - 2.5 }, material = "steel 1010" }
local block = ll.block{ size = { 40, 20, 10 }, at = { 0, 0, 6 }, north = "+z", material = "NdFeB N42" }
local kept = home:charge{ through = ll.pickup{ parts = { rod, block, keeper } } }
local without = home:charge{ through = ll.pickup{ parts = { rod, block } } }
must(kept[3].of_full_percent > without[3].of_full_percent + 5 and kept[3].of_full_percent <= 100.5, kept)

-- A virgin rod that went nowhere is virgin; an alternating field that dies away leaves next to nothing of a full one.
local nowhere = home:charge{ through = {} }
must(math.abs(nowhere[2].face_gauss) < 0.1, nowhere)
local coil = ll.pickup{ name = "coil", parts = { rod },
    coils = { ll.coil{ turns = 200, opening = { 8, 8 }, build = 8, height = 16, at = { 0, 0, -8.5 } } } }
local through, currents = {}, {}
for i = 1, 20 do
    through[i], currents[i] = coil, (i % 2 == 0 and 20 or -20) * 0.85 ^ (i - 1)
end
local shaken = home:charge{ before = "full", through = through, currents = currents }
must(math.abs(shaken[#shaken].of_full_percent) < 10, shaken)

-- ---- refused, with what to do ----
local function refused(with, of, options)
    local ok, message = pcall(of.charge, of, options)
    assert(not ok and string.find(message, with, 1, true), message)
end
refused("'through' is missing", home, {})
refused("holds none of the magnets", home, { through = lone })
refused("has a straight law; give its 'coercivity'", lone, { part = "bar", through = between })
refused("no magnet whose law is a curve", lone, { through = between })
refused("touches", home, { through = blocks(0, "+z", 1300) })
refused("which has no coil", home, { through = blocks(1, "+z", 1300), currents = { 10 } })
refused("'currents' has 2 values for 1 pickups", lone, { part = "bar", coercivity = 231, through = between, currents = { 1, 2 } })
refused("is another piece in fat", home,
    { through = ll.pickup{ name = "fat", parts = { rod:with{ diameter = 6 } } } })
refused("needs a name", ll.pickup{ parts = { ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, 0 }, material = "AlNiCo 2",
    north = "+z" } } }, { through = home })
refused("has no part 'bra'", lone, { part = "bra", through = between })
