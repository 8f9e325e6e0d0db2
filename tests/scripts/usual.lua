-- Numbers in a wrong unit, and what is odd: each is caught here, and what is said must be that of usual.expected.
local coil = ll.coil{ turns = 7900, wire = ll.awg(42), opening = { 58, 5.2 }, build = 3.5, height = 11, at = { 0, 0, -8 } }
local lumped = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf }
local rod = ll.rod{ name = "pole 1", diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 5", north = "+z" }

local function e(fields)
    return ll.string{ note = "E4", gauge = fields.gauge or 0.25, x = 0, gap = fields.gap or 2, scale = fields.scale,
        from_bridge = fields.from_bridge, mass = fields.mass }
end

-- What cannot be.
local mistakes = {
    function() ll.awg(0.063) end,
    function() ll.awg(63) end,
    function() ll.wire{ bare = 63 } end,
    function() ll.wire{ bare = 0.0025 } end,
    function() ll.wire{ bare = 2.5 } end,
    function() coil:with{ dcr = 5.7 } end,
    function() coil:with{ turns = 79000 } end,
    function() coil:with{ build = 0.4 } end,
    function() coil:with{ build = 3500 } end,
    function() coil:with{ inductance = 2400 } end,
    function() coil:with{ inductance = 350 } end,
    function() coil:with{ dcr = "5.7k" } end,
    function() coil:with{ dcr = "5,7" } end,
    function() coil:with{ dcr = false } end,
    function() coil:with{ height = '0.43"' } end,
    function() ll.lumped{ r = 7.5, l = 2.5 } end,
    function() ll.lumped{ r = 7500, l = 2.5, c = 110 } end,
    function() ll.network{ from = lumped, volume = 250 } end,
    function() ll.network{ from = lumped, volume = 0.5 } end,
    function() ll.network{ from = lumped, tone_cap = 0.022 } end,
    function() ll.network{ from = lumped, tone_cap = 22 } end,
    function() ll.network{ from = lumped, tone_cap = 22000 } end,
    function() ll.network{ from = lumped, cable = 500 } end,
    function() ll.network{ from = lumped, input = 1 } end,
    function() ll.network{ from = lumped, volume = 250e3, volume_turn = 60 } end,
    function() e{ gauge = 0.010 } end,
    function() e{ gauge = 10 } end,
    function() e{ gauge = 254 } end,
    function() e{ scale = 25.5 } end,
    function() e{ scale = 64.8 } end,
    function() e{ scale = 0.648 } end,
    function() e{ gap = 120 } end,
    function() ll.magnet{ remanence = 1.25 } end,
    function() ll.magnet{ remanence = 12500 } end,
    function() ll.magnet{ remanence = 12.5 } end,
    function() ll.steel{ saturation = 20000, mu_initial = 500 } end,
    function() ll.steel{ saturation = 2000, mu_initial = 500 } end,
    function() ll.conductor{ conductivity = 15 } end,
    function() ll.magnet{ curve = { { -640, 0 }, { 0, 12500 } } } end,
    function() ll.pickup{ parts = { rod }, temperature = 293 } end,
    function() ll.pickup{ parts = { rod }, accuracy = 0.005 } end,
    function() ll.pickup{ parts = { rod } }:poles{ standoff = 129 } end,
    function() ll.rod{ diameter = 4800, length = 17, at = { 0, 0, 0 }, material = "brass" } end,
    function() ll.cover{ size = { 70, 20, 15 }, at = { 0, 0, 0 }, thickness = 20, material = "brass" } end,
    function() rod:with{ material = "iron" } end,
    function() rod:with{ material = "alnico 9" } end,
}
for i, mistake in ipairs(mistakes) do
    local fine, message = pcall(mistake)
    print(fine and i .. " went through" or message)
end

-- What is odd stands under the tables that rest on it.
local function odd(t)
    for _, note in ipairs(t:notes()) do
        if string.find(note, "^odd: ") then
            print(note)
        end
    end
end
print("-- odd")
local exact = ll.magnet{ remanence = 1200, recoil = 1 }
local pole = rod:with{ material = exact }
local p = ll.pickup{ parts = { pole }, coils = { coil } }
odd(ll.pickup{ coils = { coil:with{ dcr = 5741, wire = ll.awg(44) } } }:winding())
odd(ll.pickup{ coils = { coil:with{ build = 2.9 } } }:winding())
odd(ll.pickup{ coils = { ll.coil{ turns = 8, opening = { 58, 5.2 }, build = 3.5, height = 11, at = { 0, 0, -8 } } } }:winding())
odd(ll.pickup{ coils = { ll.coil{ turns = 7900, opening = { 58, 0.2 }, build = 0.14, height = 0.43, at = { 0, 0, -8 },
    dcr = 5.7 } } }:winding())
odd(ll.network{ from = ll.lumped{ r = 7.5, l = 0.0024, c = 0.11e-6 } }:peak())
odd(ll.network{ from = lumped, volume = 250e3, tone_pot = 250e3, tone_cap = 22e-6 }:peak())
odd(ll.network{ from = lumped }:response{ f = { 0.1, 1, 10 } })
odd(p:sensitivity{ strings = e{ gap = 0.1, from_bridge = 1.6 } })
odd(p:poles{ standoff = 50 })
odd(ll.pickup{ parts = { ll.row{ count = 3, spacing = 0.4, part = pole:with{ diameter = 0.19, length = 0.67, pole = true } } } }
    :poles())

print("-- nothing to say of")
odd(p:winding())
odd(p:poles())
odd(p:sensitivity{ strings = e{} })
odd(ll.network{ from = { p, lumped }, volume = 500e3, tone_pot = 500e3, tone_cap = 22 * ll.nf, cable = 500 * ll.pf, input = 1e6 }
    :response{ f = { 1, 1000, 20000 } })
odd(ll.pickup{ parts = { pole:with{ charge = 0.02 } } }:poles())

-- Tables that are made in other ways hand it on.
print("-- handed on")
local soft = ll.pickup{ parts = { pole:with{ pole = true } }, coils = { coil:with{ dcr = 7500 } } }
local two = ll.strings{ { name = "low", gauge = 0.4, x = -1, gap = 2, note = "G3" } }
odd(ll.blend{ pickups = { soft, soft }, from_bridge = { 40, 120 }, strings = two })
odd(ll.balance{ build = soft, strings = two })
