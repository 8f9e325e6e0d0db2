-- A sweep of 300 rows that takes its time: for being killed, shared out and joined.
-- A magnet of straight-line law in air needs no mesh; the loop makes each row as long as `work` says.
local rod = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, 0 }, north = "+z",
    material = ll.magnet{ remanence = 1000, recoil = 1 } }
local t = ll.sweep{
    title = "Killed and begun again",
    vary = { { "angle", ll.range(0, 270, 90) }, { "gap", ll.range(1, 15.8, 0.2) } },
    file = given.file or "rows.csv",
    build = function(v)
        local x = 0
        for i = 1, given.work or 0 do
            x = x + i
        end
        return ll.pickup{ parts = { rod:turned("x", v.angle) } }
    end,
    read = function(p, v)
        local b = p:field{ { 0.3, 0.2, 8.5 + v.gap } }[1]
        return { by_mt = b.by_mt, bz_mt = b.bz_mt, side = b.bz_mt > 0 and "north, up" or "south" }
    end,
}
assert(given.share or #t == 300)
