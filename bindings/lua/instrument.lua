-- instrument.lua - ll.instrument: pickups in their places along the string, and all positions of the switch in one table.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local format, log, max, min, sqrt = string.format, math.log, math.max, math.min, math.sqrt

local new_table = core.declares("ll", "instrument", {
    { "position", "text", "none", "name of the position" },
    { "level_db", "dB", "mesh", "open strings plucked alike, against the loudest position" },
    { "level_mv", "mV", "mesh", "the same at the jack, effective over the first second; none where no pickup is described" },
    { "peak_hz", "Hz", "mesh", "resonance with pots, cable and input; none without a peak" },
    { "rise_db", "dB", "mesh", "height of that peak over the low notes" },
    { "hum_db", "dB", "mesh", "hum against the position that hums most" },
    { "phase", "text", "mesh", "in phase, out of phase, or mixed where strings differ; none of one coil alone" },
    { "dcr_kohm", "kohm", "model", "what an ohm meter shows at the jack, all pots as they are turned" },
    { "says", "text", "mesh", "hum and phase in words" },
})

-- Hum over that of the one winding that gives most, and how it is called (common practice, no source).
local CANCELS, LESS = 10 ^ (-10 / 20), 10 ^ (-3 / 20)
local MOST_DB = 60 -- no more is claimed: coils are never so alike
local SILENT = 1e-5 -- of the loudest position, 100 dB under it: nothing but rounding

local function fail(place, ...)
    core.fail(place .. ": " .. format(...))
end

local function db(ratio)
    return 20 * log(ratio, 10)
end

-- ---- what stands under the strings ----

local function strings_over(given, entry)
    local list = {}
    for i, string in ipairs(given.strings) do
        list[i] = string:with{ from_bridge = entry.from_bridge, gap = entry.gap or nil }
    end
    return list
end

local function size_of(vector)
    local sum = 0
    for _, v in ipairs(vector) do
        sum = sum + v ^ 2
    end
    return sqrt(sum)
end

local function sum_of(coils, key)
    local sum = {}
    for i = 1, #coils[1][key] do
        sum[i] = 0
        for _, coil in ipairs(coils) do
            sum[i] = sum[i] + coil[key][i]
        end
    end
    return sum
end

-- All windings of a pickup, heard once; its sensitivity is asked for the mesh error.
local function heard(given, entry)
    if not entry.heard then
        entry.pickup:sensitivity{ strings = entry.strings }
        entry.heard = core.heard(entry.pickup, entry.strings, given.pluck, "instrument: pickup '" .. entry.name .. "'", given.hum_f)
    end
    return entry.heard
end

-- A leaf is what the circuit takes as one coil, and what it hears: volts with their sign. A whole pickup, its windings told apart:
local function whole(given, entry)
    if entry.leaf then
        return entry.leaf
    end
    local coils = heard(given, entry).coils
    local leaf = { item = entry.pickup, heard = entry.heard, winding_hum = 0, windings = {} }
    for _, key in ipairs{ "v", "slopes", "hum" } do
        leaf[key] = sum_of(coils, key)
    end
    for _, coil in ipairs(coils) do
        leaf.winding_hum = max(leaf.winding_hum, size_of(coil.hum))
        table.move(coil.slopes, 1, #coil.slopes, #leaf.windings + 1, leaf.windings)
    end
    entry.leaf = leaf
    return leaf
end

-- One coil of it, by its number.
local function coil_of(given, entry, i)
    entry.coils = entry.coils or {}
    if not entry.coils[i] then
        local own = heard(given, entry).coils[i]
        entry.coils[i] = { item = entry.pickup:with{ coils = { entry.pickup.coils[i] } }, heard = entry.heard, v = own.v,
            slopes = own.slopes, hum = own.hum }
    end
    return entry.coils[i]
end

local function own_inductance(lumped)
    return lumped.measured and lumped.measured[1][3] or lumped.l
end

local function inductance(pickup)
    return pickup:winding().l_h
end

-- Of the coils of one pickup with each other, from that of all in series; their sizes alone when there are more than two.
local function coupling(given, entry)
    local own, roots = 0, 0
    local n = #entry.pickup.coils
    for i = 1, n do
        local l = inductance(coil_of(given, entry, i).item)
        own, roots = own + l, roots + sqrt(l)
    end
    return n > 1 and max(-1 / (n - 1), min(1, (inductance(entry.pickup) - own) / (roots ^ 2 - own))) or nil
end

-- ---- what a position joins ----

local function name_of_coil(pickup, i)
    return pickup.coils[i].name or "coil " .. core.integer(i)
end

-- The entry that a text of 'from' names, and the number of its coil if it names one: "neck", or "neck.screws".
local function named(given, text, place)
    if given.by_name[text] then
        return given.by_name[text]
    end
    local before, coil = string.match(text, "^(.*)%.([^.]*)$")
    local entry = before and given.by_name[before]
    if not entry then
        local near = core.nearest(before or text, given.names)
        fail(place, "there is no pickup '%s'%s; it has %s", before or text, near and "; did you mean '" .. near .. "'?" or "",
            table.concat(given.names, ", "))
    elseif not entry.pickup then
        fail(place, "pickup '%s' was measured as a whole and has no coil '%s'; describe it, or give each coil as a pickup of its own",
            before, coil)
    end
    local names = {}
    for i = 1, #entry.pickup.coils do
        names[i] = name_of_coil(entry.pickup, i)
        if names[i] == coil then
            return entry, i
        end
    end
    fail(place, "pickup '%s' has no coil '%s'; it has %s", before, coil, table.concat(names, ", "))
end

local function list_of(value)
    return core.type(value) == "table" and value or { value }
end

-- Everything that the position names, so that a coil beside a named one is known to be bypassed.
local function mark_used(given, from, place, used)
    for _, item in ipairs(list_of(from)) do
        if core.type(item) == "string" then
            local entry, coil = named(given, item, place)
            if used[entry.name] and (not coil or used[entry.name][0] or used[entry.name][coil]) then
                fail(place, "'%s' is named twice", item)
            end
            used[entry.name] = used[entry.name] or {}
            used[entry.name][coil or 0] = true
        elseif core.type(item) == "table" then
            mark_used(given, item.from, place, used)
        else
            fail(place, "'from' must hold names of pickups, such as \"%s\", or positions { from = ... }", given.names[1])
        end
    end
end

local OF_A_POSITION = { from = true, wiring = true, reversed = true, tapped = true, bypassed = true, coupling = true, name = true }

-- A network of what was put together, with the controls behind it.
local function network_of(members, more, controls)
    local fields = { from = {}, reversed = {}, tapped = {}, bypassed = {}, wiring = more.wiring, coupling = more.coupling, name = more.name }
    for i, member in ipairs(members) do
        fields.from[i] = member.object
        fields.reversed[i], fields.tapped[i], fields.bypassed[i] = member.reversed or false, member.tapped or 1, member.bypassed or false
    end
    for key, value in next, controls or {} do
        if OF_A_POSITION[key] then
            fail(more.place, "'controls' hold pots, capacitors, cable and input; '%s' belongs to a position", core.tostring(key))
        end
        fields[key] = value
    end
    return ll.network(fields)
end

local build

-- One pickup of which coils are named: those, joined as the position says, and the rest bypassed.
local function coils_joined(given, entry, chosen, spec, place, used, leaves)
    local members = {}
    for i = 1, #entry.pickup.coils do
        local own = chosen[i]
        if own or not used[entry.name][i] then
            local leaf = coil_of(given, entry, i)
            members[#members + 1] = { object = leaf.item, reversed = own and own.reversed, tapped = own and own.tapped, bypassed = not own }
            leaves[#leaves + 1] = leaf
        end
    end
    return network_of(members, { wiring = spec.wiring, coupling = coupling(given, entry), place = place }, entry.controls)
end

-- Member i of a position: a whole pickup, coils of one, or a position within it.
local function member_of(given, spec, items, i, place, used, leaves)
    local flags = { reversed = spec.reversed and list_of(spec.reversed)[i], tapped = spec.tapped and list_of(spec.tapped)[i] }
    if core.type(items[i]) == "table" then
        flags.object = build(given, core.read("instrument_position", items[i], place), place, used, leaves)
        return flags
    end
    local entry, coil = named(given, items[i], place)
    if not coil then
        local leaf = whole(given, entry)
        leaves[#leaves + 1] = leaf
        if not entry.controls then
            flags.object = leaf.item
            return flags
        end
        return { object = network_of({ { object = leaf.item, reversed = flags.reversed, tapped = flags.tapped } }, { place = place }, entry.controls) }
    end
    local chosen, first = {}, nil
    for k, item in ipairs(items) do
        local other, number = nil, nil
        if core.type(item) == "string" then
            other, number = named(given, item, place)
        end
        if other == entry and number then
            first = first or k
            chosen[number] = { reversed = spec.reversed and list_of(spec.reversed)[k], tapped = spec.tapped and list_of(spec.tapped)[k] }
        end
    end
    return first == i and { object = coils_joined(given, entry, chosen, spec, place, used, leaves) } or nil
end

-- The network of a position, and in `leaves` what each of its coils hears, in their order.
function build(given, spec, place, used, leaves, controls)
    local members, items = {}, list_of(spec.from)
    for _, key in ipairs{ "reversed", "tapped" } do
        if spec[key] and #list_of(spec[key]) ~= #items then
            fail(place, "'%s' needs one item for each of 'from', %d, not %d", key, #items, #list_of(spec[key]))
        end
    end
    for i = 1, #items do
        members[#members + 1] = member_of(given, spec, items, i, place, used, leaves)
    end
    return network_of(members, { wiring = spec.wiring, name = spec.name, place = place }, controls)
end

local function check_controls(controls, place)
    if controls ~= nil and core.type(controls) ~= "table" then
        fail(place, "'controls' must be a table of a network's fields, such as { volume = 500 * ll.kohm, cable_m = 5 }")
    end
end

-- What the engine makes of a position.
local function read_position(given, spec, place, controls)
    local used, leaves = {}, {}
    mark_used(given, spec.from, place, used)
    local network = build(given, spec, place, used, leaves, controls)
    return core.position(network, leaves[1].heard, leaves, given.hum_f)
end

-- ---- what was only measured ----

-- All pots full up, as levels are taken.
local function full_up(controls)
    local copy = {}
    for key, value in next, controls or {} do
        copy[key] = value
    end
    copy.volume_turn, copy.tone_turn = nil, nil
    return copy
end

local function alone(given, entry)
    local own = entry.controls
    entry.controls = own and full_up(own)
    local p = read_position(given, { from = entry.name, name = entry.name }, "instrument: pickup '" .. entry.name .. "' alone",
        full_up(given.controls))
    entry.controls = own
    return p.level_v
end

-- The coil by which hum of measured ones is told: one of a described pickup, so that a pair does not cancel it.
local function hum_of_coil(given, entry)
    if not entry.pickup then
        return entry.hum_v, own_inductance(entry.coil)
    end
    local leaf = coil_of(given, entry, 1)
    return size_of(leaf.hum), inductance(leaf.item)
end

local function scaled(list, factor)
    local out = {}
    for i, value in ipairs(list) do
        out[i] = factor * value
    end
    return out
end

-- Blade and compass tell the two signs: of the strings, and of the winding, which hum goes by. Hum goes with turns and area, about as the
-- root of the inductance does.
local function take_measured(given, entry, against)
    local sign, up = entry.meter == "positive" and 1 or -1, entry.shows == "N" and 1 or -1
    local speeds = core.heard(nil, entry.strings, given.pluck, "instrument: pickup '" .. entry.name .. "'")
    local leaf = { item = entry.coil, heard = speeds, v = scaled(speeds.coils[1].v, sign), slopes = {} }
    entry.leaf = leaf
    for i = 1, #given.strings do
        leaf.slopes[i] = sign
    end
    leaf.hum = { 0, 0, 0 }
    local factor, root = 1, sqrt(own_inductance(entry.coil))
    entry.hum_v = root
    if against then
        factor = 10 ^ ((entry.level or 0) / 20) * alone(given, against) / alone(given, entry)
        local hum_v, l_h = hum_of_coil(given, against)
        entry.hum_v = hum_v * root / sqrt(l_h)
    end
    leaf.v, leaf.slopes = scaled(leaf.v, factor), scaled(leaf.slopes, factor)
    leaf.hum[3] = entry.hum_cancels and 0 or -sign * up * entry.hum_v
end

local function check_measured(entry, place)
    for _, name in ipairs{ "shows", "meter" } do
        if not entry[name] then
            fail(place, "'%s' is missing: %s", name, name == "shows" and "\"N\" or \"S\", the face to the strings by a compass"
                or "\"positive\" or \"negative\", where the needle goes as a blade is pulled off a pole, hot lead against ground")
        end
    end
end

-- Which pickup the level of a measured one is against; nil for the first where none is described.
local function reference(given, entry, ready)
    if entry.against then
        local other = given.by_name[entry.against]
        if not other or not ready[other] then
            fail("instrument: pickup '" .. entry.name .. "'", "'against' must name a pickup that is described or stands before it, not '%s'",
                entry.against)
        end
        return other
    end
    return given.anchor ~= entry and given.anchor or nil
end

local function ready_measured(given, t)
    local ready = {}
    for _, entry in ipairs(given.list) do
        ready[entry] = entry.pickup ~= nil
    end
    for _, entry in ipairs(given.list) do
        if not entry.pickup then
            local against = reference(given, entry, ready)
            if entry.level and not against then
                fail("instrument: pickup '" .. entry.name .. "'", "'level' has no other pickup to be against; leave it out here")
            elseif against and not entry.level then
                t:note(format("assumed: '%s' alone is as loud as '%s' alone; say level = ... dB", entry.name, against.name))
            end
            take_measured(given, entry, against)
            ready[entry] = true
        end
    end
end

-- ---- what is said ----

local function words_of(p, heard)
    local hum = p.hum_left < CANCELS and "hum cancels" or p.hum_left < LESS and "hums less" or "hums"
    return not heard and "silent" or p.phase == "out of phase" and "out of phase: thin, " .. hum
        or p.phase == "mixed" and "some strings out of phase, " .. hum or hum
end

local function add_rows(t, given, positions)
    local loudest, most_hum = 0, 0
    for _, p in ipairs(positions) do
        loudest, most_hum = max(loudest, p.level_v), max(most_hum, p.hum_v)
    end
    for _, p in ipairs(positions) do
        local heard = loudest > 0 and p.level_v > SILENT * loudest
        t:add{ position = p.name, level_db = heard and db(p.level_v / loudest) or nil,
            level_mv = given.anchor.pickup and 1000 * p.level_v or nil, peak_hz = p.peak_hz, rise_db = p.peak_hz and p.rise_db,
            hum_db = most_hum > 0 and max(-MOST_DB, p.hum_v > 0 and db(p.hum_v / most_hum) or -MOST_DB) or nil, phase = p.phase,
            dcr_kohm = p.ohm and p.ohm / 1000, says = words_of(p, heard) }
    end
end

-- ---- what was given ----

local function read_pickups(given)
    given.list, given.by_name, given.names = {}, {}, {}
    for i, fields in ipairs(list_of(given.pickups)) do
        local entry = core.read("instrument_pickup", fields, "instrument: pickup " .. core.integer(i))
        local place = "instrument: pickup '" .. entry.name .. "'"
        if given.by_name[entry.name] then
            fail(place, "two pickups have this name")
        elseif (entry.pickup == nil) == (entry.coil == nil) then
            fail(place, "give 'pickup' (described) or 'coil' (measured, ll.lumped{...}), one of them")
        elseif entry.coil then
            check_measured(entry, place)
        end
        check_controls(entry.controls, place)
        entry.strings = strings_over(given, entry)
        given.list[i], given.by_name[entry.name], given.names[i] = entry, entry, entry.name
        given.anchor = given.anchor and given.anchor.pickup and given.anchor or entry.pickup and entry or given.anchor or entry
    end
    if #given.list == 0 then
        core.fail("instrument: 'pickups' needs at least one, { name =, pickup =, from_bridge = }")
    end
end

local function read_positions(given)
    local list = {}
    for i, fields in ipairs(list_of(given.positions)) do
        fields = core.type(fields) == "string" and { from = fields } or fields
        local spec = core.read("instrument_position", fields, "instrument: position " .. core.integer(i))
        spec.name = spec.name or core.type(spec.from) == "string" and spec.from or "position " .. core.integer(i)
        list[i] = spec
    end
    return list
end

-- Rests on all that it reads of the pickups.
ll.instrument = core.resting(function(fields)
    local given = core.read("instrument", fields, "instrument")
    local t, positions = new_table{ title = "instrument" }, {}
    given.strings, given.hum_f = list_of(given.strings), given.hum_f or 50
    given.pluck = given.pluck and core.read("pluck", given.pluck, "instrument: pluck")
    check_controls(given.controls, "instrument")
    read_pickups(given)
    local specs = read_positions(given)
    ready_measured(given, t)
    for i, spec in ipairs(specs) do
        positions[i] = read_position(given, spec, "instrument: position '" .. spec.name .. "'", given.controls)
        positions[i].name = spec.name
    end
    add_rows(t, given, positions)
    t:note("level: root mean square of the open strings over the first second, each plucked alike, heard by every pickup in its own "
        .. "place; without the magnets' pull and without distortion")
    t:note("peak_hz, rise_db: of the circuit with its coils adding, whatever their phase; dcr_kohm: with the cable's other end free")
    t:note(format("hum_db: an even field from far away, of any direction, against the position that takes up most; %d dB at most",
        MOST_DB))
    return core.note_odd(t, given)
end)
