-- Draws each kind of picture in the format of given.format.
local guitar = ll.network{ from = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf }, volume = 250 * ll.kohm,
    tone_pot = 250 * ll.kohm, tone_cap = 22 * ll.nf, cable_m = 5, input = 1e6 }
local function file(name)
    return name .. "." .. given.format
end

guitar:response{ f = ll.log_range(20, 20000, 20) }:plot{ file = file("bode"), title = "Loaded & with cable" }

ll.table{ columns = { "f_hz", "level_db" }, title = "Partials",
    rows = { { f_hz = 110, level_db = 0 }, { f_hz = 220, level_db = -8 }, { f_hz = 331, level_db = -11 } },
}:plot{ file = file("spectrum"), style = "stems", log = "none", width = 100, height = 60 }
