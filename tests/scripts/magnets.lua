-- What magnets went through: charged in place or alone, with a keeper, and warm.
-- SPDX-License-Identifier: GPL-3.0-or-later
local function close(a, b, relative)
    assert(math.abs(a - b) <= relative * math.abs(b), a .. " is not " .. b)
end

local rod = ll.rod{ name = "rod", diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, material = "AlNiCo 5", north = "+z" }
local keeper = ll.rod{ name = "keeper", diameter = 20, length = 1.98, at = { 0, 0, -18.01 },
    material = ll.steel{ mu_r = 1000 } }

local function working(accuracy, ...)
    return ll.pickup{ parts = { ... }, accuracy = accuracy }:operating{ part = "rod" }[1]
end

-- On the keeper it works high up its curve; pulled off it drops; put back it gains little.
local kept, alone, back = working(5, rod, keeper), working(5, rod), working(5, rod:with{ charged = "alone" }, keeper)
assert(kept.b_mt > back.b_mt and back.b_mt > alone.b_mt)
assert(kept.load_line > alone.load_line and back.load_line > alone.load_line)
assert(back.lowest_kam < back.h_kam)
close(back.lowest_kam, alone.h_kam, 0.01)
-- The slope of the recoil line of AlNiCo 5, 4.3 mu0.
close((back.b_mt - alone.b_mt) / (back.h_kam - alone.h_kam), 4.3 * 0.4 * math.pi, 0.05)

-- A straight line forgets nothing: no difference at all.
local bar = ll.block{ name = "rod", size = { 20, 6, 3 }, at = { 0, 0, -25 }, material = "ferrite C8", north = "+z" }
close(working(5, bar:with{ charged = "alone" }, keeper).b_mt, working(5, bar, keeper).b_mt, 1e-9)

-- Where a magnet touches steel there is the air that was asked for: a ferrite rod under a steel rod, by FreeFEM with a gap
-- of 0.02 mm and without (tests/reference/decks/r9_contact.edp), 1 mm over the steel.
local function touching(gap)
    return ll.pickup{ contact_gap = gap, parts = {
        ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, material = ll.magnet{ remanence = 380 }, north = "+z" },
        ll.rod{ diameter = 5, length = 10, at = { 0, 0, 5 }, material = ll.steel{ mu_r = 500 } } } }:field{ { 0, 0, 11 } }[1].bz_mt
end
close(touching(), 21.8711, 5e-3)
close(touching(0.02), 21.8711, 5e-3)
close(touching(1e-4), 22.0366, 5e-3)
assert(touching(0.2) < 0.97 * touching(0.02))

-- Ferrite loses 0.2 % of its magnetisation for each degree (reversible coefficient, makers' tables); the part's own
-- temperature wins.
local function over(part, temperature)
    return ll.pickup{ parts = { part }, temperature = temperature }:field{ { 0, 0, -20 } }[1].bz_mt
end
close(over(bar, 60), (1 - 0.002 * 40) * over(bar), 1e-6)
close(over(bar:with{ temperature = -10 }, 60), (1 + 0.002 * 30) * over(bar), 1e-6)
close(over(bar:with{ temperature = 20 }, 60), over(bar), 1e-9)

-- Where no coefficient is known there is no guess.
local ok, message = pcall(ll.pickup, { parts = { rod:with{ material = "AlNiCo 3" } }, temperature = 60 })
assert(not ok and string.find(message, "no temperature coefficient is known", 1, true), message)
-- Steel has no temperature here.
ll.pickup{ parts = { keeper }, temperature = 60 }

local p = ll.pickup{ parts = { keeper } }
ok, message = pcall(p.operating, p, {})
assert(not ok and string.find(message, "has no magnet", 1, true), message)
ok, message = pcall(p.operating, p, { part = "keeper" })
assert(not ok and string.find(message, "is no magnet", 1, true), message)
