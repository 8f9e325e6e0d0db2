-- Pickups with faults of chance, and what the instruments read on them: cases for blind_study.lua.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
--   lodeloom run --quiet --time-limit 100000 tests/bench/blind_cases.lua count=100 seed=1 > cases_1.lua
--
-- It prints a Lua file, one line for each case: { at = number of the construction, truth = {what is wrong, in the
-- diagnosis' words}, size = how much, readings = { dcr = {...}, ... } as ll.diagnose takes them }. Solving takes two seconds a
-- case; judging does not need to do it again. With only=3 all are of the third construction.
--
-- What the instruments read comes from the public readings of a pickup that really is built wrong, with the true curves of its
-- materials, from two meshes brought to their limit; the diagnosis works with straight laws on one coarse mesh and adds
-- changes up. Parts and wire scatter within their tolerances, probes are held a little off, and a few faults are none that
-- the diagnosis knows. A shorted coil couples as two real windings do, one around the other. The same in both are the
-- formulas for what shorted turns do to the bridge, for hum and for tapping. Kinds of fault are drawn as often as the
-- diagnosis assumes; without that its probabilities could not be judged.

local count, seed, only = given.count or 20, given.seed or 1, given.only
math.randomseed(seed)

local function normal(sd)
    return sd * math.sqrt(-2 * math.log(1 - math.random())) * math.cos(2 * math.pi * math.random())
end

local function db(ratio)
    return 20 * math.log(ratio, 10)
end

local constructions = {}
for k, construction in ipairs(require "blind_builds") do
    construction.at = k
    if not only or only == k then
        constructions[#constructions + 1] = construction
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
    c.sound = ll.pickup{ parts = c.parts, coils = c.coils, accuracy = 20 }
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

-- ---- how strong a magnet is ----

local LADDER = { 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.85, 1 } -- charges

-- What the magnets give over the poles at each charge of the ladder, against what they should.
local function find_strengths(c)
    local function field(charge)
        local parts = {}
        for i, part in ipairs(c.parts) do
            parts[i] = kind(part) == "magnet" and part:with{ charge = charge } or part
        end
        local sum = 0
        for _, row in ipairs(ll.pickup{ parts = parts, coils = c.coils, accuracy = 20 }:poles()) do
            sum = sum + math.abs(row.bz_mt)
        end
        return sum
    end
    local sound = field(c.parts[c.magnets[1]].charge)
    c.strengths = {}
    for n, charge in ipairs(LADDER) do
        c.strengths[n] = field(charge) / sound
    end
end

for _, c in ipairs(constructions) do
    find_strengths(c)
end

local function charge_for(c, strength)
    local n = 1
    while n < #LADDER - 1 and c.strengths[n + 1] < strength do
        n = n + 1
    end
    local step = c.strengths[n + 1] - c.strengths[n]
    local share = step > 0.001 and (strength - c.strengths[n]) / step or 1 -- at the top nothing is gained any more
    return math.max(0, math.min(1, LADDER[n] + share * (LADDER[n + 1] - LADDER[n])))
end

-- ---- faults ----
-- Each: how often, and a function that changes a specimen { parts, coils, short = {}, open = {}, ... } and says what it did
-- in the diagnosis' words.

local function part_label(c, i, word)
    return word .. (c.parts[i].name and " '" .. c.parts[i].name .. "'" or " " .. i)
end

local function pick(list)
    return list[math.random(#list)]
end

local function coil_label(c, k)
    return "coil " .. (c.coils[k].name and "'" .. c.coils[k].name .. "'" or k)
end

-- A magnet of so much of its strength: the diagnosis speaks of what a magnet gives, which is not as its charge.
local function scale_strength(c, s, i, factor)
    s.strength[i] = s.strength[i] * factor
    s.parts[i] = s.parts[i]:with{ charge = charge_for(c, s.strength[i]) }
    s.sizes[#s.sizes + 1] = string.format("%.2f", factor)
end

local function change_turns(s, k, factor)
    s.coils[k] = s.coils[k]:with{ turns = s.coils[k].turns * factor }
    s.sizes[#s.sizes + 1] = string.format("%.2f", factor)
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

-- Other grades that a magnet may be of.
local families = { ["AlNiCo 5"] = { "AlNiCo 2", "AlNiCo 3", "AlNiCo 4", "AlNiCo 8" },
    ["ferrite C5"] = { "ferrite C1" } } -- C8 gives as much and is no fault

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
        scale_strength(c, s, i, 0.02)
        return part_label(c, i, "magnet") .. " is missing"
    end) },
    { 8, of_magnet(function(s, i, c)
        scale_strength(c, s, i, 0.15 + 0.7 * math.random())
        return part_label(c, i, "magnet") .. " is weak or cracked"
    end) },
    { 8, function(c, s)
        local left = 0.25 + 0.6 * math.random()
        for _, i in ipairs(c.magnets) do
            scale_strength(c, s, i, left)
        end
        return #c.magnets > 1 and "all magnets are weak" or part_label(c, c.magnets[1], "magnet") .. " is weak or cracked"
    end },
    { 4, function(c, s)
        local other = pick(families[tostring(c.parts[c.magnets[1]].material)])
        for _, i in ipairs(c.magnets) do
            s.parts[i] = s.parts[i]:with{ material = other }
        end
        return "the magnets are of " .. other .. ","
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
        s.sizes[#s.sizes + 1] = string.format("%.1f mm", by)
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
        s.sizes[#s.sizes + 1] = string.format("%.3f", s.short[k])
        return coil_label(c, k) .. " has shorted turns"
    end) },
    { 6, of_coil(function(s, k, c)
        change_turns(s, k, 0.6 + 0.33 * math.random())
        return coil_label(c, k) .. " has too few turns"
    end) },
    { 3, of_coil(function(s, k, c)
        change_turns(s, k, 1.07 + 0.3 * math.random())
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
    { 5, function(_, s)
        s.loose = true
        return "has loose turns"
    end },
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
            scale_strength(c, s, m, n % 2 == 0 and 0.3 or 0.7)
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
    local parts, strength, batch = { table.unpack(c.parts) }, {}, 1 + normal(0.04)
    for _, i in ipairs(c.magnets) do
        strength[i] = batch * (1 + normal(0.03))
        parts[i] = parts[i]:with{ charge = charge_for(c, strength[i]) }
    end
    local up, offsets = normal(0.1), {}
    for i in ipairs(c.strings) do
        offsets[i] = up + normal(0.07)
    end
    return { parts = parts, strength = strength, offsets = offsets }
end

for _, c in ipairs(constructions) do
    c.shelf = {}
    for n = 1, SHELF do
        c.shelf[n] = magnets_off_the_shelf(c)
    end
end

local function specimen(c)
    local shelf = pick(c.shelf)
    local s = { shelf = shelf, parts = { table.unpack(shelf.parts) }, strength = {}, coils = {},
        short = {}, open = {}, leads = 1, wire = {}, sizes = {},
        bridge = 1 + normal(0.02) }
    for _, i in ipairs(c.magnets) do
        s.strength[i] = shelf.strength[i]
    end
    for k, coil in ipairs(c.coils) do
        s.coils[k] = coil:with{ turns = coil.turns * (1 + normal(0.007)) }
        s.wire[k] = 1 + normal(0.03)
    end
    return s
end

-- What a text is about: "magnet 'bridge bar'".
local function about(says)
    return string.match(says, "^(.-) is ") or string.match(says, "^(.-) stands ") or says
end

-- All magnets reversed and one of them wrong is the same as that one differently wrong and the leads swapped.
local function twice_told(a, b)
    return string.find(a, "^all magnets are the other") ~= nil and string.find(b, "^magnet") ~= nil
end

local function faulty(c)
    local s, draw = specimen(c), math.random()
    if draw < 0.15 then
        return s, {}
    elseif draw < 0.18 then
        return s, { something_else(c, s) }
    elseif draw > 0.92 then
        local first, second = draw_fault(c, s), draw_fault(c, s)
        if first == second or about(first) == about(second) and not string.find(first, "^coil")
            or twice_told(first, second) or twice_told(second, first) then
            return faulty(c)
        end
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

local BRIDGE = 1000 -- Hz

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
    local all = whole:winding()[1].l_h
    base.mutual = (all - sum) / 2
    local row = whole:impedance{ f = BRIDGE }[1]
    base.eddy = { r = row.extra_ohm / all, l = row.l_h / all }
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

-- Series resistance and inductance on the bridge; eddy currents take from every henry their share. Shorted turns take power
-- like a transformer's secondary; they are the outermost, and so a tenth longer.
local function series_z(c, s, base)
    local w, r, henries = 2 * math.pi * BRIDGE, 0, 0
    for k in ipairs(s.coils) do
        local own, share = wire_ohm(s, k, 21), s.short[k] or 0
        local l = base.l[k] * (s.coils[k].turns / c.coils[k].turns) ^ 2 * s.bridge * base.eddy.l
        local loop_r, loop_x = own * share * 1.1, w * share ^ 2 * l
        local mutual = w * c.coupling * share * (1 - share) * l
        local back = share > 0 and mutual ^ 2 / (loop_r ^ 2 + loop_x ^ 2) or 0
        r = r + own * (1 - share) + back * loop_r
        henries = henries + l * (1 - share) ^ 2 - back * loop_x / w
    end
    if #s.coils == 2 then
        henries = henries + 2 * base.mutual * lively(c, s, 1) * lively(c, s, 2) * s.bridge * base.eddy.l
    end
    return r + base.eddy.r * henries, henries
end

local function is_open(s)
    return next(s.open) ~= nil
end

-- A coil alone gives its voltage as its own hand has it; in the pickup they are joined so that both add for the strings
-- between opposite poles, which `hand` of the sound one sees to.
local function voltages(c, s, base, only)
    local list = {}
    local open = is_open(s) and 0.03 or 1 -- what a break lets pass
    for i in ipairs(c.strings) do
        list[i] = 0
        for k in ipairs(s.coils) do
            local counts = (only == nil or only == k) and 1 or 0
            list[i] = list[i] + counts * s.leads * open * lively(c, s, k) * base.v[k][i]
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
        local s = { parts = c.parts, coils = c.coils, short = {}, open = {}, sizes = {}, leads = 1, shelf = { offsets = {} } }
        for i in ipairs(c.strings) do
            s.shelf.offsets[i] = 0
        end
        c.mean = mean(voltages(c, s, solve(c, s)))
    end
    return c.mean
end

local function electric_readings(c, s, base, r)
    local temperature, dcr, each = 21 + normal(1.5), 0, {}
    for k in ipairs(s.coils) do
        local ohm = wire_ohm(s, k, temperature) * (1 - (s.short[k] or 0))
        dcr, each[k] = dcr + ohm, s.open[k] and "open" or ohm * (1 + normal(0.004))
    end
    r.coil_dcr = #s.coils > 1 and { coil_dcr = each, temperature = 21 } or nil
    r.dcr = { dcr = is_open(s) and "open" or dcr * (1 + normal(0.004)), temperature = 21 }
    local ohm, henry = series_z(c, s, base)
    if not is_open(s) then
        r.inductance = { inductance = { f = BRIDGE, l = henry * (1 + normal(0.01)), r = ohm * (1 + normal(0.02)) } }
    end
    r.hum, r.tap = { hum = hum_db(c, s) + normal(2) }, { tap = (s.loose and 15 or 0) + normal(3) }
end

local function magnetic_readings(base, r)
    local gauss, compass, faces, strengths, gain = { probe = 1 }, { probe = 3 }, {}, {}, 1 + normal(0.015)
    for k, mt in ipairs(base.gauss) do
        gauss[k] = mt * 10 * gain * (1 + normal(0.015)) + normal(3)
        compass[k] = compass_words[needle(base.compass[k], 1)]
    end
    for k, face in ipairs(base.faces) do
        faces[k] = { part = face.part, side = face.side, shows = compass_words[needle(face.mt, 2)] }
        strengths[k] = { part = face.part, side = face.side, gauss = face.mt * 10 * gain * (1 + normal(0.03)) + normal(5) }
    end
    r.gauss, r.compass = { gauss = gauss }, { compass = compass }
    if #faces > 0 then
        r.faces, r.face_gauss = { faces = faces }, { faces = strengths }
    end
end

-- The poles below the strings stand in the first coil: a blade there moves the flux of that coil alone.
local function readings_of(c, s)
    local base, r = base_of(c, s), {}
    electric_readings(c, s, base, r)
    magnetic_readings(base, r)
    local v, blade, levels, touch, usual = voltages(c, s, base), voltages(c, s, base, 1), {}, {}, sound_mean(c)
    for k, value in ipairs(v) do
        levels[k] = db(math.max(math.abs(value) / usual, 0.01)) + normal(0.8) + 5
        touch[k] = needle_words[needle(blade[k] * #c.coils / usual, 0.08)]
    end
    r.levels = { levels = levels, output = db(math.max(mean(v) / usual, 0.01)) + normal(2) }
    r.screwdriver = { screwdriver = touch }
    return r
end

-- ---- printing ----

-- A value as Lua reads it.
local function written(value)
    if type(value) ~= "table" then
        return type(value) == "number" and string.format("%.6g", value) or string.format("%q", value)
    end
    local texts = {}
    for key, item in pairs(value) do
        texts[#texts + 1] = (type(key) == "number" and "" or key .. " = ") .. written(item)
    end
    return "{ " .. table.concat(texts, ", ") .. " }"
end

print("return {")
for n = 1, count do
    local c = constructions[(n - 1) % #constructions + 1]
    local s, truth = faulty(c)
    local fine, readings = pcall(readings_of, c, s)
    if fine then -- a build that cannot be put together is no pickup
        print(written{ at = c.at, truth = truth, size = table.concat(s.sizes, ", "), readings = readings } .. ",")
    elseif not string.find(readings, "cuts into", 1, true) then
        error(readings, 0)
    end
end
print("}")
