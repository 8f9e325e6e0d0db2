-- Mistakes in networks; `lodeloom check` must find them all and say what network_mistakes.expected has.
local coil = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf }
local bare = ll.pickup{ parts = { ll.rod{ diameter = 5, length = 17, at = { 0, 0, 0 }, material = "brass" } } }

ll.lumped{ r = 7500, ll = 2.5 }
ll.lumped{ r = -7500, l = 2.5 }
ll.lumped{ r = 7500, l = 2.5, measured = { { 100, 7500, 2.5 } } }
ll.lumped{ measured = { { 1000, 7500, 2.5 }, { 100, 7400, 2.5 } } }

ll.network{ volume = 250e3 }
ll.network{ from = { coil, bare } }
ll.network{ from = { coil, 7500 } }
ll.network{ name = "both", from = { coil, coil }, reversed = { true }, wiring = "paralel" }
ll.network{ from = { coil, coil }, reversed = { true } }
ll.network{ from = { coil, coil }, reversed = { "no", "yes" } }
ll.network{ from = coil, tapped = { 1.5 } }
ll.network{ from = {} }
ll.network{ from = { coil, coil, coil }, coupling = -0.8 }
ll.network{ from = coil, volum = 250e3, volume_turn = 0.5 }
ll.network{ from = coil, volume = 250e3, volume_turn = 7 }
ll.network{ from = coil, tone_pot = 250e3 }
ll.network{ from = coil, volume = 250e3, treble_bleed = { r = 150e3 } }
ll.network{ from = coil, volume = 250e3, treble_bleed = 680 * ll.pf }
ll.network{ from = coil, cable = 500 * ll.pf, cable_m = 5 }

local network = ll.network{ from = coil }
network:response{}
network:response{ f = { 100, -5 } }
network:response{ freq = 100 }
network:noise{ from = 20000, to = 20 }

-- Networks within networks.
local within = ll.network{ from = { coil, coil }, wiring = "parallel", volume = 500e3 }
ll.network{ from = { within, network:with{ cable = 500 * ll.pf } } }
ll.network{ from = { within, coil }, tapped = { 0.5, 1 } }
ll.network{ from = { within, coil }, bypassed = { true, false } }
ll.network{ from = { coil, coil }, bypassed = true }
ll.network{ from = { coil, coil }, bypassed = { true, true } }
ll.network{ from = { within, within, within, within, coil } }
