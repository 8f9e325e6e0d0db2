-- Sweeps: all combinations, the last axis fastest; columns in an order that does not depend on chance.
local rod = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, 0 },
    material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" }
local built = 0
local t = ll.sweep{
    vary = { { "angle", ll.range(0, 270, 90) }, { "gap", { 1, 2 } } },
    build = function(v)
        built = built + 1
        return ll.pickup{ parts = { rod:turned("x", v.angle) } }
    end,
    read = function(p, v)
        return { bz_mt = p:field{ { 0, 0, 8.5 + v.gap } }[1].bz_mt, above = true, gap_twice = 2 * v.gap }
    end,
}
assert(#t == 8 and built == 8)
assert(table.concat(t:columns(), " ") == "angle gap above bz_mt gap_twice")
assert(t[1].angle == 0 and t[1].gap == 1 and t[2].gap == 2 and t[3].angle == 90)
assert(math.abs(t[5].bz_mt + t[1].bz_mt) < 1e-3 * t[1].bz_mt)

-- A table of results gives its rows and its order; a list of names sets another.
local poles = ll.sweep{
    vary = { { "charge", { 0.5, 1 } } },
    columns = { "shows" },
    build = function(v)
        return ll.pickup{ parts = { ll.row{ count = 2, spacing = 10, part = rod:with{ charge = v.charge } } } }
    end,
    read = function(p)
        return p:poles{ standoff = 1 }
    end,
}
assert(#poles == 4 and table.concat(poles:columns(), " ") == "charge shows pole bz_mt bz_gauss")
local bz = poles:column("bz_mt")
assert(math.abs(bz[3] / bz[1] - 2) < 0.01)

-- What the readings say of their mesh error stands under the sweep, too, and can be handed on.
-- Steel in two halves that touch is meshed by tetrahedra, which do not reach everything that may be asked for.
local upper = ll.block{ size = { 4, 5, 5 }, at = { 0, 0, 2.5 }, material = "steel 1018" }
local lower = upper:with{ at = { 0, 0, -2.5 } }
local close = rod:with{ at = { 0, 0, -13.52 } }
local function error_of(accuracy)
    return ll.sweep{
        vary = { { "x", { 3.2, 8 } } },
        build = function()
            return ll.pickup{ parts = { upper, lower, close }, accuracy = accuracy }
        end,
        read = function(p, v)
            return { bz_mt = p:field{ { v.x, 0, -5 } }[1].bz_mt }
        end,
    }:notes()
end
assert(string.find(error_of(2)[1], "^mesh error: at most about [%d.]+ %% of the largest value of each reading, or of 5 mT, 5 mV where all are smaller$"))
assert(string.find(error_of(0.05)[1], "^WARNING: at [12] of 2 points the mesh error may be more than was asked for, up to "))
assert(#ll.table{ columns = { "a" }, notes = error_of(2) }:notes() == 1)
assert(string.find(ll.table{ columns = { "a" } }:mesh_error(), "no mesh"))
