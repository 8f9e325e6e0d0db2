-- Where a sheet of steel touches other steel, the table of eddy currents says what is left out of it.
local coil = ll.coil{ turns = 5000, opening = { 57, 5.2 }, build = 4, height = 6.5, at = { 0, 0, -3 } }
local pole = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = "steel 1010" }

local function said(parts)
    local p = ll.pickup{ parts = parts, coils = { coil }, accuracy = 20 }
    for _, note in ipairs(p:impedance{ f = 1000 }:notes()) do
        if string.find(note, "^left out: ") then
            return note
        end
    end
end

local function plate(z, material)
    return ll.block{ name = "plate", size = { 20, 12, 0.5 }, at = { 0, 0, z }, material = material }
end

assert(string.find(said{ pole, plate(-17.25, "steel 1010") }, "part 'plate', a sheet of steel that touches part 1", 1, true))
assert(not said{ pole, plate(-17.5, "steel 1010") }) -- a quarter of a millimetre away
assert(not said{ pole, plate(-17.25, "brass") })
assert(not said{ pole:with{ material = "brass" }, plate(-17.25, "steel 1010") })
-- Two poles that touch are none.
assert(not said{ pole, pole:with{ at = { 0, 0, -25.5 } } })
