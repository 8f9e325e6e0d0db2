-- A blind study of ll.diagnose: pickups with faults of chance, readings with noise, and what it made of them.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
--   lodeloom run --quiet --time-limit 100000 tests/bench/blind_study.lua count=500 seed=1 sequence=100 > cases
--
-- It prints a line for each case, which blind_study.awk adds up; several seeds may run side by side.
--
-- Five constructions. What the instruments read comes from the public readings of a pickup that really is built wrong, with
-- the true curves of its materials, from two meshes brought to their limit; the diagnosis works with straight laws on one coarse
-- mesh and adds changes up. Parts and wire scatter within their tolerances, probes are held a little off, and a few faults are none that
-- the diagnosis knows. A shorted coil couples as two real windings do, one around the other. The same in both are the
-- formulas for what shorted turns do to the bridge, for hum and for tapping. Kinds of fault are drawn as often as the
-- diagnosis assumes; without that its probabilities could not be judged.

local count, seed, sequences = given.count or 20, given.seed or 1, given.sequence or 0
local only = given.only
math.randomseed(seed)

local function normal(sd)
    return sd * math.sqrt(-2 * math.log(1 - math.random())) * math.cos(2 * math.pi * math.random())
end

local function db(ratio)
    return 20 * math.log(ratio, 10)
end

-- ---- five constructions, as they should be ----

local gauges = { { "E2", 1.17, true }, { "A2", 0.91, true }, { "D3", 0.66, true }, { "G3", 0.43, false },
    { "B3", 0.33, false }, { "E4", 0.25, false } }

local function strings(spacing, z)
    local list = {}
    for i, s in ipairs(gauges) do
        list[i] = ll.string{ name = s[1], note = s[1], gauge = s[2], wound = s[3], x = (i - 3.5) * spacing, z = z + s[2] / 2 }
    end
    return list
end

local function spread_out(...)
    local list = {}
    for _, item in ipairs{ ... } do
        if type(item) == "table" then
            for _, part in ipairs(item) do
                list[#list + 1] = part
            end
        else
            list[#list + 1] = item
        end
    end
    return list
end

local function two_bars()
    local poles = ll.row{ count = 6, spacing = 10.2,
        part = ll.rod{ diameter = 5, length = 18, at = { 0, 0, -8 }, material = "steel 1018" } }
    local bridge = ll.block{ name = "bridge bar", size = { 60, 10, 4 }, at = { 0, -8, -12 }, material = "ferrite C5",
        north = "+y", charge = 0.85 }
    local neck = bridge:with{ name = "neck bar", at = { 0, 8, -12 }, north = "-y" }
    return { name = "two bars, steel poles", parts = spread_out(poles, bridge, neck), strings = strings(10.2, 3.5),
        coils = { ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 57, 6 }, build = 8, height = 6, at = { 0, 0, -3 } } } }
end

local function six_rods()
    local rods = ll.row{ count = 6, spacing = 10.4, part = ll.rod{ diameter = 4.8, length = 17, at = { 0, 0, -8.5 },
        material = "AlNiCo 5", north = "+z", charge = 0.85 } }
    return { name = "six AlNiCo rods", parts = spread_out(rods), strings = strings(10.4, 2.5),
        coils = { ll.coil{ turns = 7800, wire = ll.awg(42), opening = { 58, 6 }, build = 4, height = 11, at = { 0, 0, -8 } } } }
end

local function two_coils()
    local slug = ll.rod{ diameter = 4.8, length = 13, at = { 0, 9, -5.5 }, material = "steel 1010" }
    local screw = ll.rod{ diameter = 3.4, length = 18, at = { 0, -9, -8 }, material = "steel 1010", pole = false }
    local slugs = ll.row{ count = 6, spacing = 10.2, part = slug }
    local screws = ll.row{ count = 6, spacing = 10.2, part = screw, name = "screw" }
    local bar = ll.block{ name = "bar", size = { 60, 12, 3.2 }, at = { 0, 0, -13.7 }, material = "ferrite C5", north = "+y",
        charge = 0.85 }
    local coil = ll.coil{ name = "slug coil", turns = 5000, wire = ll.awg(42), opening = { 57, 6 }, build = 4.5, height = 8,
        at = { 0, 9, -5 } }
    local other = coil:with{ name = "screw coil", at = { 0, -9, -5 }, hand = "cw" }
    return { name = "two coils, one bar", parts = spread_out(slugs, screws, bar), strings = strings(10.2, 3),
        coils = { coil, other } }
end

local function blade()
    local steel = ll.block{ name = "blade", size = { 64, 3, 16 }, at = { 0, 0, -7 }, material = "steel 1018", pole = true }
    local bridge = ll.block{ name = "bridge bar", size = { 62, 8, 4 }, at = { 0, -6, -13 }, material = "AlNiCo 5",
        north = "+y", charge = 0.85 }
    local neck = bridge:with{ name = "neck bar", at = { 0, 6, -13 }, north = "-y" }
    return { name = "blade between bars", parts = { steel, bridge, neck }, strings = strings(9.5, 4),
        coils = { ll.coil{ turns = 6500, wire = ll.awg(41), opening = { 66, 4.5 }, build = 6, height = 8, at = { 0, 0, -5 } } } }
end

local function bass_pairs()
    local rods = {}
    for i = 1, 8 do
        local x = ((i - 1) // 2 - 1.5) * 19 + (i % 2 == 1 and -4.5 or 4.5)
        rods[i] = ll.rod{ name = "pole " .. i, diameter = 4.8, length = 15, at = { x, 0, -7.5 }, material = "AlNiCo 5",
            north = "+z", charge = 0.85 }
    end
    local set = {}
    for i, s in ipairs{ { "E1", 2.6 }, { "A1", 2.0 }, { "D2", 1.6 }, { "G2", 1.1 } } do
        set[i] = ll.string{ name = s[1], note = s[1], gauge = s[2], wound = true, x = (i - 2.5) * 19, z = 3.5 + s[2] / 2 }
    end
    return { name = "bass, two rods a string", parts = rods, strings = set,
        coils = { ll.coil{ turns = 9500, wire = ll.awg(42), opening = { 76, 6 }, build = 5, height = 9, at = { 0, 0, -7 } } } }
end

local all = { two_bars, six_rods, two_coils, blade, bass_pairs }
local constructions = {}
for k, construction in ipairs(all) do
    if not only or only == k then
        constructions[#constructions + 1] = construction()
    end
end

local function kind(part)
    return ll.material(part.material):figures()[1].kind
end

for _, c in ipairs(constructions) do
    c.magnets, c.steel = {}, {}
    for i, part in ipairs(c.parts) do
        (kind(part) == "magnet" and c.magnets or c.steel)[#(kind(part) == "magnet" and c.magnets or c.steel) + 1] = i
    end
    c.sound = ll.pickup{ parts = c.parts, coils = c.coils, accuracy = 3 }
    -- How a tenth of the turns, outermost, couples to the rest.
    local own = c.coils[1]
    local inner = own:with{ turns = 0.9 * own.turns, build = 0.9 * own.build }
    local outer = own:with{ turns = 0.1 * own.turns, build = 0.1 * own.build,
        opening = { own.opening[1] + 1.8 * own.build, own.opening[2] + 1.8 * own.build },
        corner = own.opening[2] / 2 + 0.9 * own.build }
    local function l(coils)
        return ll.pickup{ parts = c.parts, coils = coils, accuracy = 20 }:winding()[1].l_h
    end
    local a, b, both = l{ inner }, l{ outer }, l{ inner, outer }
    c.coupling = (both - a - b) / 2 / math.sqrt(a * b)
end

-- ---- faults ----
-- Each: how often, and a function that changes a specimen { parts, coils, short = {}, open = {}, ... } and says what it did in the
-- diagnosis' words.

local function part_label(c, i, word)
    return word .. (c.parts[i].name and " '" .. c.parts[i].name .. "'" or " " .. i)
end

local function pick(list)
    return list[math.random(#list)]
end

local function coil_label(c, k)
    return "coil " .. (c.coils[k].name and "'" .. c.coils[k].name .. "'" or k)
end

local function scale_charge(s, i, factor)
    s.parts[i] = s.parts[i]:with{ charge = s.parts[i].charge * factor }
end

local is_pole = {}
for _, c in ipairs(constructions) do
    is_pole[c] = {}
    for _, row in ipairs(c.sound:poles()) do
        is_pole[c][row.pole] = true
    end
end

local function steel_poles(c)
    local list = {}
    for _, i in ipairs(c.steel) do
        if is_pole[c][c.parts[i].name] then
            list[#list + 1] = i
        end
    end
    return list
end

local function other_steel(c)
    local list = {}
    for _, i in ipairs(c.steel) do
        if not is_pole[c][c.parts[i].name] then
            list[#list + 1] = i
        end
    end
    return list
end

local function of_magnet(change)
    return function(c, s)
        return change(s, pick(c.magnets), c)
    end
end

local function of_pole(change)
    return function(c, s)
        local list = steel_poles(c)
        return #list > 0 and change(s, pick(list), c) or nil
    end
end

local function of_coil(change)
    return function(c, s)
        return change(s, math.random(#c.coils), c)
    end
end

local kinds = {
    { 6, of_magnet(function(s, i, c)
        s.parts[i] = s.parts[i]:turned("x", 180)
        return part_label(c, i, "magnet") .. " is upside down"
    end) },
    { 4, of_magnet(function(s, i, c)
        if getmetatable(c.parts[i]) ~= "block" or c.name == "two coils, one bar" then
            return nil
        end
        local degrees = math.random() < 0.5 and 90 or -90
        s.parts[i] = s.parts[i]:turned("x", degrees)
        return string.format("%s is a quarter turn wrong (%+d", part_label(c, i, "magnet"), degrees)
    end) },
    { 2, of_magnet(function(s, i, c)
        scale_charge(s, i, 0.02)
        return part_label(c, i, "magnet") .. " is missing"
    end) },
    { 8, of_magnet(function(s, i, c)
        scale_charge(s, i, 0.15 + 0.7 * math.random())
        return part_label(c, i, "magnet") .. " is weak"
    end) },
    { 8, function(c, s)
        local left = 0.25 + 0.6 * math.random()
        for _, i in ipairs(c.magnets) do
            scale_charge(s, i, left)
        end
        return #c.magnets > 1 and "all magnets are weak" or part_label(c, c.magnets[1], "magnet") .. " is weak"
    end },
    { 4, function(c, s)
        for _, i in ipairs(c.magnets) do
            s.parts[i] = s.parts[i]:turned("x", 180)
        end
        return #c.magnets > 1 and "all magnets are the other way up" or part_label(c, c.magnets[1], "magnet") .. " is upside down"
    end },
    { 1, of_pole(function(s, i, c)
        s.parts[i] = false
        return part_label(c, i, "pole") .. " is missing or not magnetic"
    end) },
    { 1, of_pole(function(s, i, c)
        s.parts[i] = s.parts[i]:with{ material = "brass" }
        return part_label(c, i, "pole") .. " is missing or not magnetic"
    end) },
    { 2, of_pole(function(s, i, c)
        s.parts[i] = s.parts[i]:with{ material = ll.steel{ mu_r = 25 + 40 * math.random() } }
        return part_label(c, i, "pole") .. " is of hard"
    end) },
    { 5, of_pole(function(s, i, c)
        local by = (0.5 + 1.3 * math.random()) * (math.random() < 0.5 and -1 or 1)
        s.parts[i] = s.parts[i]:moved(0, 0, by)
        return part_label(c, i, "pole") .. " stands at the wrong height"
    end) },
    { 2, function(c, s)
        local list = other_steel(c)
        if #list == 0 then
            return nil
        end
        local i = pick(list)
        s.parts[i] = false
        return part_label(c, i, "part") .. " is missing"
    end },
    { 10, of_coil(function(s, k, c)
        s.open[k] = true
        return coil_label(c, k) .. " is open"
    end) },
    { 14, of_coil(function(s, k, c)
        s.short[k] = 0.005 * 100 ^ math.random()
        return coil_label(c, k) .. " has shorted turns"
    end) },
    { 6, of_coil(function(s, k, c)
        s.coils[k] = s.coils[k]:with{ turns = s.coils[k].turns * (0.6 + 0.33 * math.random()) }
        return coil_label(c, k) .. " has too few turns"
    end) },
    { 3, of_coil(function(s, k, c)
        s.coils[k] = s.coils[k]:with{ turns = s.coils[k].turns * (1.07 + 0.3 * math.random()) }
        return coil_label(c, k) .. " has too many turns"
    end) },
    { 4, of_coil(function(s, k, c)
        local gauge = c.coils[k].wire.awg
        local other = gauge + (math.random() < 0.5 and -1 or 1)
        s.coils[k] = s.coils[k]:with{ wire = ll.awg(other) }
        return coil_label(c, k) .. " is wound with AWG " .. math.tointeger(other)
    end) },
    { 6, function(c, s)
        s.leads = -1
        return "leads swapped"
    end },
    { 6, of_coil(function(s, k, c)
        if #c.coils < 2 then
            return nil
        end
        s.coils[k] = s.coils[k]:with{ hand = s.coils[k].hand == "cw" and "ccw" or "cw" }
        return coil_label(c, k) .. " is reversed"
    end) },
    { 5, of_coil(function(s, k, c)
        s.loose = true
        return coil_label(c, k) .. " has loose turns"
    end) },
    { 2, function(c, s)
        s.ungrounded = true
        return "the cover or the shield"
    end },
}

-- What the diagnosis has no word for.
local function something_else(c, s)
    if #c.steel > 2 then
        for n = 1, 3 do
            local list = steel_poles(c)
            s.parts[list[n]] = s.parts[list[n]]:with{ material = "brass" }
        end
    else
        local i = c.magnets[1]
        for n, m in ipairs(c.magnets) do
            scale_charge(s, m, n % 2 == 0 and 0.3 or 0.7)
        end
        s.parts[i] = s.parts[i]:moved(0, 0, -2.5)
    end
    return "none of these"
end

local function draw_fault(c, s)
    local total = 0
    for _, k in ipairs(kinds) do
        total = total + k[1]
    end
    while true do
        local rank = math.random() * total
        for _, k in ipairs(kinds) do
            rank = rank - k[1]
            if rank < 0 then
                local says = k[2](c, s)
                if says then
                    return says
                end
                break
            end
        end
    end
end

-- A pickup of this construction off the shelf, its parts within tolerances. Few of them have their own magnets, so that those
-- with a fault of the coil alone share what was solved.
local SHELF = 5

local function magnets_off_the_shelf(c)
    local parts, batch = {}, 1 + normal(0.04)
    for i, part in ipairs(c.parts) do
        parts[i] = kind(part) == "magnet"
            and part:with{ charge = math.min(1, math.max(0.5, part.charge * batch * (1 + normal(0.03)))) } or part
    end
    local up, offsets = normal(0.1), {}
    for i in ipairs(c.strings) do
        offsets[i] = up + normal(0.07)
    end
    return { parts = parts, offsets = offsets }
end

for _, c in ipairs(constructions) do
    c.shelf = {}
    for n = 1, SHELF do
        c.shelf[n] = magnets_off_the_shelf(c)
    end
end

local function specimen(c)
    local shelf = pick(c.shelf)
    local s = { shelf = shelf, parts = { table.unpack(shelf.parts) }, coils = {}, short = {}, open = {}, leads = 1, wire = {},
        bridge = 1 + normal(0.02) }
    for k, coil in ipairs(c.coils) do
        s.coils[k] = coil:with{ turns = coil.turns * (1 + normal(0.007)) }
        s.wire[k] = 1 + normal(0.03)
    end
    return s
end

local function faulty(c)
    local s, draw = specimen(c), math.random()
    if draw < 0.15 then
        return s, {}
    elseif draw < 0.18 then
        return s, { something_else(c, s) }
    elseif draw > 0.92 then
        local first = draw_fault(c, s)
        local second
        repeat
            second = draw_fault(c, s)
        until second ~= first
        return s, { first, second }
    end
    return s, { draw_fault(c, s) }
end

-- ---- what the instruments read ----

local function needle(bz_mt, weak)
    local value = bz_mt + normal(0.2 * weak)
    if math.random() < 0.01 then
        value = -value
    end
    return value > weak and 1 or value < -weak and -1 or 0
end

local compass_words = { [1] = "N", [0] = "weak", [-1] = "S" }
local needle_words = { [1] = "+", [0] = "nothing", [-1] = "-" }

-- Places over all poles, those gone too, at a distance.
local function over_poles(c, s, distance)
    local points = {}
    for i, part in ipairs(c.parts) do
        if is_pole[c][part.name] then
            local there = s.parts[i] or part
            local half = (getmetatable(there) == "block" and there.size[3] or there.length) / 2
            points[#points + 1] = { there.at[1], there.at[2], there.at[3] + half + distance }
        end
    end
    return points
end

local function is_quarter(part)
    local turn = part.turn or { "x", 0 }
    turn = type(turn[1]) == "table" and turn[1] or turn
    return math.abs(turn[2]) == 90
end

-- Faces of magnets that a compass can reach: under them, and on their outer sides.
local function faces_of(c, parts)
    local list = {}
    for _, i in ipairs(c.magnets) do
        local part, there = c.parts[i], parts[i]
        if not is_pole[c][part.name] then
            local quarter = is_quarter(there)
            local half = quarter and { there.size[3] / 2, there.size[2] / 2 } or { there.size[2] / 2, there.size[3] / 2 }
            local outer = part.at[2] < 0 and -1 or 1
            list[#list + 1] = { part = part.name, side = "-z", axis = "bz_mt", sign = -1,
                point = { part.at[1], part.at[2], part.at[3] - half[2] - 1 } }
            list[#list + 1] = { part = part.name, side = outer < 0 and "-y" or "+y", axis = "by_mt", sign = outer,
                point = { part.at[1], part.at[2] + outer * (half[1] + 1), part.at[3] } }
        end
    end
    return list
end

-- What the magnets and the steel give: fields, and for each coil by itself, as it should be wound, signals and inductances.
local function solve(c, s)
    local list = {}
    for _, part in ipairs(s.parts) do
        if part then
            list[#list + 1] = part
        end
    end
    local function built(coils)
        return ll.pickup{ parts = list, coils = coils, accuracy = 20 }
    end
    local whole, base = built(c.coils), { v = {}, l = {}, probe = normal(0.15) }
    base.gauss = whole:field(over_poles(c, s, 1 + base.probe)):column("bz_mt")
    base.compass = whole:field(over_poles(c, s, 3)):column("bz_mt")
    base.faces = faces_of(c, s.parts)
    for _, face in ipairs(base.faces) do
        face.mt = face.sign * whole:field{ face.point }[1][face.axis]
    end
    local placed = {}
    for i, string in ipairs(c.strings) do
        placed[i] = string:with{ z = string.z + s.shelf.offsets[i] }
    end
    local sum = 0
    for k, coil in ipairs(c.coils) do
        local alone = #c.coils == 1 and whole or built{ coil }
        base.v[k] = alone:sensitivity{ strings = placed }:column("vertical_mv")
        base.l[k] = alone:winding()[1].l_h
        sum = sum + base.l[k]
    end
    base.mutual = (whole:winding()[1].l_h - sum) / 2
    return base
end

-- Magnets and steel as they came off the shelf are solved once.
local function base_of(c, s)
    for i, part in ipairs(s.parts) do
        if part ~= s.shelf.parts[i] then
            return solve(c, s)
        end
    end
    s.shelf.base = s.shelf.base or solve(c, s)
    return s.shelf.base
end

-- Turns of coil k that give voltage, of those it should have; -1 when it is wound the other way.
local function lively(c, s, k)
    local hand = s.coils[k].hand == c.coils[k].hand and 1 or -1
    return hand * s.coils[k].turns / c.coils[k].turns * (1 - (s.short[k] or 0))
end

local function wire_ohm(s, k, temperature)
    return ll.pickup{ coils = { s.coils[k] } }:winding{ temperature = temperature }[1].dcr_ohm * s.wire[k]
end

-- Series resistance and inductance on the bridge. Shorted turns take power like a transformer's secondary; they are the
-- outermost, and so a tenth longer.
local function series_z(c, s, base, f)
    local w, r, x = 2 * math.pi * f, 0, 0
    for k in ipairs(s.coils) do
        local own, share = wire_ohm(s, k, 21), s.short[k] or 0
        local l = base.l[k] * (s.coils[k].turns / c.coils[k].turns) ^ 2 * s.bridge
        local loop_r, loop_x = own * share * 1.1, w * share ^ 2 * l
        local mutual = w * c.coupling * share * (1 - share) * l
        local back = share > 0 and mutual ^ 2 / (loop_r ^ 2 + loop_x ^ 2) or 0
        r = r + own * (1 - share) + back * loop_r
        x = x + w * l * (1 - share) ^ 2 - back * loop_x
    end
    if #s.coils == 2 then
        x = x + 2 * w * base.mutual * lively(c, s, 1) * lively(c, s, 2) * s.bridge
    end
    return r, x / w
end

-- A coil alone gives its voltage as its own hand has it; in the pickup they are joined so that both add for the strings
-- between opposite poles, which `hand` of the sound one sees to.
local function voltages(c, s, base)
    local list, sign = {}, { 1, 1 }
    local open = 1
    for k in ipairs(s.coils) do
        open = s.open[k] and 0.03 or open
    end
    for i in ipairs(c.strings) do
        list[i] = 0
        for k in ipairs(s.coils) do
            list[i] = list[i] + s.leads * open * lively(c, s, k) * base.v[k][i] * sign[k]
        end
    end
    return list
end

local function mean(list)
    local sum = 0
    for _, v in ipairs(list) do
        sum = sum + math.abs(v) / #list
    end
    return sum
end

local function hum_db(c, s)
    local sum, sound, all = 0, 0, 0
    for k, coil in ipairs(c.coils) do
        local area = coil.turns * (coil.opening[1] + coil.build) * (coil.opening[2] + coil.build)
        local sign = coil.hand == "cw" and -1 or 1
        sum, sound, all = sum + sign * lively(c, s, k) * area, sound + sign * area, all + area
    end
    return db((math.abs(sum) + 0.05 * all) / (math.abs(sound) + 0.05 * all)) + (s.ungrounded and 8 or 0)
end

local function sound_mean(c)
    if not c.mean then
        local s = { parts = c.parts, coils = c.coils, short = {}, open = {}, leads = 1, shelf = { offsets = {} } }
        for i in ipairs(c.strings) do
            s.shelf.offsets[i] = 0
        end
        c.mean = mean(voltages(c, s, solve(c, s)))
    end
    return c.mean
end

local function is_open(s)
    return next(s.open) ~= nil
end

local function electric_readings(c, s, base, r)
    local temperature, dcr = 21 + normal(1.5), 0
    for k in ipairs(s.coils) do
        dcr = dcr + wire_ohm(s, k, temperature) * (1 - (s.short[k] or 0))
    end
    r.dcr = { dcr = is_open(s) and "open" or dcr * (1 + normal(0.004)), temperature = 21 }
    local ohm, henry = series_z(c, s, base, 1000)
    if not is_open(s) then
        r.inductance = { inductance = { f = 1000, l = henry * (1 + normal(0.01)), r = ohm * (1 + normal(0.02)) } }
    end
    r.hum, r.tap = { hum = hum_db(c, s) + normal(2) }, { tap = (s.loose and 15 or 0) + normal(3) }
end

local function magnetic_readings(base, r)
    local gauss, compass, faces, gain = { probe = 1 }, { probe = 3 }, {}, 1 + normal(0.015)
    for k, mt in ipairs(base.gauss) do
        gauss[k] = mt * 10 * gain * (1 + normal(0.015)) + normal(3)
        compass[k] = compass_words[needle(base.compass[k], 1)]
    end
    for k, face in ipairs(base.faces) do
        faces[k] = { part = face.part, side = face.side, shows = compass_words[needle(face.mt, 2)] }
    end
    r.gauss, r.compass, r.faces = { gauss = gauss }, { compass = compass }, #faces > 0 and { faces = faces } or nil
end

local function readings_of(c, s)
    local base, r = base_of(c, s), {}
    electric_readings(c, s, base, r)
    magnetic_readings(base, r)
    local v, levels, touch, usual = voltages(c, s, base), {}, {}, sound_mean(c)
    for k, value in ipairs(v) do
        levels[k] = db(math.max(math.abs(value) / usual, 0.01)) + normal(0.8) + 5
        touch[k] = needle_words[needle(value / usual, 0.08)]
    end
    r.levels = { levels = levels, output = db(math.max(mean(v) / usual, 0.01)) + normal(2) }
    r.screwdriver = { screwdriver = touch }
    return r
end

-- ---- judging ----

local function merged(list, taken)
    local all = {}
    for _, name in ipairs(taken) do
        for key, value in pairs(list[name] or {}) do
            all[key] = value
        end
    end
    return all
end

local function matches(text, truth)
    if #truth == 0 then
        return string.sub(text, 1, 6) == "sound:"
    end
    for _, says in ipairs(truth) do
        if not string.find(text, says, 1, true) then
            return false
        end
    end
    return (string.find(text, "; and ", 1, true) ~= nil) == (#truth == 2)
end

local function diagnose(c, readings)
    return ll.diagnose{ build = c.sound, strings = c.strings, readings = readings }
end

local function rank_of(d, truth)
    for _, row in ipairs(d.faults) do
        if matches(row.fault, truth) then
            return row.rank
        end
    end
    return 99
end

local five = { "dcr", "inductance", "gauss", "levels", "screwdriver" }
local fixed_order = { "dcr", "inductance", "screwdriver", "levels", "gauss", "tap", "hum", "faces", "compass" }
local by_words = { ["dc resistance"] = "dcr", inductance = "inductance", ["series resistance on the bridge"] = "inductance",
    ["gauss meter over the poles"] = "gauss", ["compass over the poles"] = "compass",
    ["compass at the magnets' faces"] = "faces", ["gauss meter at the magnets' faces"] = "faces",
    ["level of the strings against each other"] = "levels", ["output against a sound one"] = "levels",
    ["screwdriver test, blade pulled off"] = "screwdriver", ["hum against a sound one"] = "hum",
    ["tapping, against a sound one"] = "tap" }

-- How many readings until one fault has nine tenths, and whether it is the right one.
local function sequence(c, readings, truth, choose)
    local taken, has, d = { "dcr" }, { dcr = true }, nil
    while true do
        d = diagnose(c, merged(readings, taken))
        local name = d.faults[1].probability_percent < 90 and choose(d, has) or nil
        if not name then
            return #taken, rank_of(d, truth) == 1
        end
        taken[#taken + 1], has[name] = name, true
    end
end

local function by_order(readings)
    return function(_, has)
        for _, name in ipairs(fixed_order) do
            if not has[name] and readings[name] then
                return name
            end
        end
    end
end

local function by_suggestion(readings)
    return function(d, has)
        for _, row in ipairs(d.next) do
            local name = by_words[row.take]
            if name and not has[name] and readings[name] then
                return name
            end
        end
    end
end

local function yes(b)
    return b and 1 or 0
end

-- case, construction, truth, rank after five readings, probability of the first in per cent, whether it is right, rank
-- after all readings, then readings needed and whether right by suggestion and by fixed order.
for n = 1, count do
    local c = constructions[(n - 1) % #constructions + 1]
    local s, truth = faulty(c)
    local fine, readings = pcall(readings_of, c, s)
    if fine then -- a build that cannot be put together is no pickup
        local d = diagnose(c, merged(readings, five))
        local rank = rank_of(d, truth)
        local cells = { n, c.name, #truth == 0 and "sound" or table.concat(truth, " + "), rank,
            string.format("%.1f", d.faults[1].probability_percent), yes(rank == 1), d.faults[1].fault }
        if n <= sequences then
            local everything = rank_of(diagnose(c, merged(readings, fixed_order)), truth)
            local steps, right = sequence(c, readings, truth, by_suggestion(readings))
            local fixed_steps, fixed_right = sequence(c, readings, truth, by_order(readings))
            for _, cell in ipairs{ everything, steps, yes(right), fixed_steps, yes(fixed_right) } do
                cells[#cells + 1] = cell
            end
        end
        print(table.concat(cells, "\t"))
    elseif not string.find(readings, "cuts into", 1, true) then
        error(readings, 0)
    end
end
