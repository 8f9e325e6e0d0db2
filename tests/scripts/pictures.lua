-- Draws each kind of picture in the format of given.format.
local guitar = ll.network{ from = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf }, volume = 250 * ll.kohm,
    tone_pot = 250 * ll.kohm, tone_cap = 22 * ll.nf, cable_m = 5, input = 1e6 }
local function file(name)
    return name .. "." .. given.format
end

guitar:response{ f = ll.log_range(20, 20000, 20) }:plot{ file = file("bode"), title = "Loaded & with cable" }

-- Two axes beside the frequency: a curve for each pair of their values, also for the one that `by` does not name.
ll.sweep{ vary = { { "tone_turn", { 0.2, 1 } }, { "cable_m", { 3, 9 } } },
    build = function(v)
        return guitar:with{ tone_turn = v.tone_turn, cable_m = v.cable_m }
    end,
    read = function(n)
        return n:response{ f = ll.log_range(100, 10000, 10) }
    end }:plot{ file = file("two_axes"), x = "f_hz", by = "tone_turn", y = "gain_db" }

ll.table{ columns = { "f_hz", "level_db" }, title = "Partials",
    rows = { { f_hz = 110, level_db = 0 }, { f_hz = 220, level_db = -8 }, { f_hz = 331, level_db = -11 } },
}:plot{ file = file("spectrum"), style = "stems", log = "none", width = 100, height = 60 }

local poles = ll.row{ count = 6, spacing = 10.2, part = ll.rod{ diameter = 5, length = 18, at = { 0, 0, -8 },
    material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" } }
local plate = ll.ring{ name = "ring", outer = 12, inner = 8, length = 2, at = { 0, 0, -20 }, material = "brass" }
local p = ll.pickup{ name = "Six < seven", parts = { poles, plate }, coils = {
    ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 57, 6 }, build = 3, height = 9, at = { 0, 0, -5 } } } }
p:draw{ file = file("drawing"), strings = ll.string{ note = "G3", gauge = 0.43, x = 5.1, gap = 2.5 } }
p:map{ file = file("map"), plane = "yz", at = 5.1, points = 16 }
p:map{ file = file("signed_map"), show = "bz", points = 16, arrows = false, from = { -20, -25 }, to = { 20, 10 } }
