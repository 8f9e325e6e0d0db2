-- bench_job.lua - a pickup taken apart for the bench, and what its instruments would read under any change of it.
--
-- A fault changes the build, and 200 of them are asked for: they are read from a draft, the same build with straight
-- laws for its steel and magnets on a coarse mesh, whose matrix stays the same when a magnet turns or weakens. What
-- draft and full solution of the sound pickup differ by corrects the rest. Fields and string signals of straight laws
-- add up, so what several faults do together is the sum of what each does alone.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local abs, max = math.abs, math.max
local type = core.type
local bench = {}
core.bench = bench

-- A magnet whose recoil is weaker than this is taken as air that carries a magnetisation: then it turns without a new
-- matrix. Ferrite and neodymium are below, AlNiCo above.
local RECOIL_OF_AIR = 1.3
local FREQUENCIES_OF_PEAK = { 50, 500, 1000, 2000, 4000, 8000, 16000 }
local DRAFT_ACCURACY, FULL_ACCURACY = 20, 2 -- per cent

-- Lists within lists as one list.
local function flat(value, list)
    list = list or {}
    if type(value) ~= "table" then
        list[#list + 1] = value
        return list
    end
    for _, item in ipairs(value) do
        flat(item, list)
    end
    return list
end
bench.flat = flat

function bench.kind(part)
    return ll.material(part.material):figures()[1].kind
end

-- The parts of a pickup in one list, namesakes told apart as tables do.
function bench.parts_of(pickup)
    local list, names = flat(pickup.parts or {}), core.part_names(pickup)
    for i, part in ipairs(list) do
        if part.name ~= (names[i] or nil) then
            list[i] = part:with({ name = names[i] })
        end
    end
    return list
end

-- "magnet 'bridge bar'", or by its place in the list: "magnet 2".
function bench.label(thing, i, what)
    return what .. " " .. (thing.name and "'" .. thing.name .. "'" or core.integer(i))
end

-- ---- the draft ----

-- The straight law that stands for a material; strength scales every magnet alike.
local function straight(job, material)
    local key = material
    if not job.straight[key] then
        local figures = ll.material(material):figures()[1]
        if figures.kind == "steel" then
            job.straight[key] = ll.steel({ mu_r = figures.mu_r, conductivity = figures.conductivity_sm })
        elseif figures.kind == "magnet" then
            job.straight[key] = ll.magnet({ remanence = figures.remanence_mt * job.strength,
                recoil = figures.mu_r < RECOIL_OF_AIR and 1 or figures.mu_r })
        else
            job.straight[key] = material
        end
    end
    return job.straight[key]
end

-- Parts left out of a build are false in its list, so that places keep their numbers.
local function draft(job, parts)
    local list = {}
    for _, part in ipairs(parts) do
        if part then
            list[#list + 1] = part:with({ material = straight(job, part.material) })
        end
    end
    return ll.pickup({ parts = list, coils = job.coils, accuracy = DRAFT_ACCURACY,
        contact_gap = job.pickup.contact_gap })
end

-- ---- where probes are held ----

local sides = { ["+x"] = { 1, 0, 0 }, ["-x"] = { -1, 0, 0 }, ["+y"] = { 0, 1, 0 }, ["-y"] = { 0, -1, 0 },
    ["+z"] = { 0, 0, 1 }, ["-z"] = { 0, 0, -1 } }
bench.sides = sides

-- The middle of a part; a screw is placed by its top.
local function centre(part)
    local at = part.at
    return { at[1], at[2], at[3] or part.top - part.length / 2 }
end
bench.centre = centre

-- Probe at a distance from a part's face on one side: its place, and the direction it reads.
local function at_face(part, side, distance)
    local way, reach, at = sides[side], { core.reach(part) }, centre(part)
    local point = {}
    for k = 1, 3 do
        point[k] = at[k] + way[k] * (reach[k] + distance)
    end
    return point, way
end

-- Every place at which a field is read: over the poles at each distance wanted, then at faces of magnets.
function bench.probes(job)
    local list = {}
    for _, distance in ipairs(job.distances) do
        for _, pole in ipairs(job.poles) do
            list[#list + 1] = { part = pole, side = "+z", distance = distance }
        end
    end
    for _, face in ipairs(job.faces) do
        list[#list + 1] = face
    end
    return list
end

-- Flux density in mT towards each probe, by a function that reads {bx, by, bz} at points. A pole that is gone is
-- probed where it was.
local function fields(job, parts, read)
    local points, ways, values = {}, {}, {}
    for k, probe in ipairs(job.probes) do
        points[k], ways[k] = at_face(parts[probe.part] or job.parts[probe.part], probe.side, probe.distance)
    end
    for k, b in ipairs(#points > 0 and read(points) or {}) do
        values[k] = b[1] * ways[k][1] + b[2] * ways[k][2] + b[3] * ways[k][3]
    end
    return values
end

-- As a script reads them, mesh error and true laws minded.
local function full_fields(job)
    return fields(job, job.parts, function(points)
        local list = {}
        for k, row in ipairs(job.full:field(points)) do
            list[k] = { row.bx_mt, row.by_mt, row.bz_mt }
        end
        return list
    end)
end

-- ---- what can be asked of a build ----

-- Each gives a list of numbers.
local asked = {}

function asked.field(job, parts, pickup)
    return fields(job, parts, function(points)
        return core.fields_at(pickup, points)
    end)
end

-- Field at all probes with the parts as they are, true curves on a coarse mesh.
function bench.true_fields(job, parts)
    return asked.field(job, parts, ll.pickup({ parts = parts, coils = job.coils, accuracy = DRAFT_ACCURACY,
        contact_gap = job.pickup.contact_gap }))
end

-- Strings one after the other, each coil's share by itself. A string takes its height from the sound build.
local function signals(job, pickup, answered)
    local list = {}
    for _, of_string in ipairs(core.signals(pickup, job.strings, answered)) do
        for _, value in ipairs(of_string) do
            list[#list + 1] = value
        end
    end
    return list
end

-- Signals are set against those of the sound build: what the steel answers to a string is much the same share of both.
function asked.signal(job, _, pickup)
    return signals(job, pickup, false)
end

-- Not so where poles come nearer to their strings.
function asked.answered(job, _, pickup)
    return signals(job, pickup, true)
end

-- Pole after pole, each coil's share of a blade that lies where it does on the sound build.
function asked.blade(job, _, pickup)
    return core.blades(pickup, job.rests)
end

function asked.inductance(_, _, pickup)
    return core.inductances(pickup)
end

-- A change of parts read once, for all that this job wants by then; `memo` belongs to the change. Drafts are not
-- kept: 200 of them would fill the memory.
function bench.ask(job, memo, parts, what)
    if memo[what] then
        return memo[what]
    end
    local pickup = draft(job, parts)
    for _, name in ipairs({ "field", "inductance", "signal", "answered", "blade" }) do
        if name == what or (job.wants[name] and not memo[name]) then
            memo[name] = asked[name](job, parts, pickup)
        end
    end
    return memo[what]
end

-- What the strings give that lie so far above where they should, kept in `memo`.
function bench.lifted(job, memo, mm)
    if not memo.signal then
        local strings = {}
        for i, string in ipairs(job.strings) do
            strings[i] = string:with({ z = string.z + mm })
        end
        memo.signal = asked.signal({ strings = strings }, nil, draft(job, job.parts))
    end
    return memo.signal
end

-- ---- the sound pickup ----

-- The strings with the heights they have over the sound build: a pole that sinks leaves its string where it was.
local function placed(job, strings)
    local list = {}
    for i, s in ipairs(flat(strings)) do
        local fields = { name = s.name or s.note, z = core.height(job.pickup, s) }
        for _, key in ipairs({ "note", "gauge", "wound", "core", "material", "wrap", "x", "scale", "from_bridge", "fret", "mass",
            "loss", "loss_bending" }) do
            fields[key] = s[key]
        end
        list[i] = ll.string(fields)
    end
    return list
end

-- One string over each pole when none are given: overall output hardly depends on which.
local function usual_strings(job)
    local list, over = {}, {}
    for _, pole in ipairs(job.poles) do
        local x = job.parts[pole].at[1]
        if not over[x] then
            over[x] = true
            list[#list + 1] = ll.string({ name = bench.label(job.parts[pole], pole, "over"), note = "G3", gauge = 0.4, gap = 2.5,
                x = x })
        end
    end
    return list
end

-- One factor for all magnets: AlNiCo works far below its remanence, which a straight law does not know.
local function find_strength(job)
    local full, sum, most = job.full_field, 0, 0
    local rough = asked.field(job, job.parts, draft(job, job.parts))
    for k in ipairs(full) do
        sum = sum + abs(full[k])
        most = most + abs(rough[k])
    end
    if most > 0 and sum > 0 and sum < 3 * most then
        job.strength, job.straight = sum / most, {}
    end
end

-- What the full solution has over the draft, reading by reading where there is field enough to tell.
local function find_ratios(job)
    local rough, largest = bench.ask(job, job.sound, job.parts, "field"), 0
    job.ratio = { field = {}, signal = {}, inductance = {}, blade = {} }
    for k = 1, #rough do
        largest = max(largest, abs(rough[k]))
    end
    for k = 1, #rough do
        local ratio = abs(rough[k]) > 0.2 * largest and job.full_field[k] / rough[k] or 1
        job.ratio.field[k] = ratio > 0.5 and ratio < 2 and ratio or 1
    end
end

-- Coils as an ohm meter and a bridge see them. Inductances are the draft's, brought to the full total.
local function find_coils(job)
    local full, total = job.full:winding()[1], 0
    local rough = bench.ask(job, job.sound, job.parts, "inductance")
    job.electric = { r = {}, c = full.c_f }
    for _, h in ipairs(rough) do
        total = total + h
    end
    for k in ipairs(rough) do
        job.ratio.inductance[k] = full.l_h / total
    end
    for i, coil in ipairs(job.coils) do
        job.electric.r[i] = ll.pickup({ coils = { coil } }):winding()[1].dcr_ohm
    end
end

-- A magnet's charge as a change of the build, solved reversed and nearly empty: what is between follows.
local function charge_of(magnet)
    return { memo = {}, part = magnet, sound = 1, nodes = { -1, 0.2 }, parts = function(list, size)
        local copy = { table.unpack(list) }
        copy[magnet] = copy[magnet]:with({ charge = size * (copy[magnet].charge or 1) })
        return copy
    end }
end

-- Where nothing but readings changes, what was solved before serves again.
local jobs = core.setmetatable({}, { __mode = "k" })

local function same(a, b)
    if type(a) ~= "table" or type(b) ~= "table" then
        return a == b
    end
    for key, value in next, a do
        if not same(value, b[key]) then
            return false
        end
    end
    return #a == #b
end
bench.same = same

local function kept(pickup, options)
    local job = jobs[pickup]
    local old = job and job.settings
    if old and same(old.strings, options.strings) and same(old.faces, options.faces)
        and same(old.distances, options.distances) and same(old.pluck, options.pluck) and old.equal == options.equal
        and old.circuit == options.circuit then
        job.settings = options
        return job
    end
end

-- How loud each string is plucked, as squares of the coils' shares; nothing where velocities are compared, or where a string has
-- no note to be tuned to.
function bench.squares(job)
    if job.squares == nil then
        local tuned = job.settings.equal ~= "velocity"
        for _, string in ipairs(job.strings) do
            tuned = tuned and string.note ~= nil
        end
        job.squares = tuned and core.plucked(draft(job, job.parts), job.strings, job.settings.pluck)
    end
    return job.squares
end

-- Opens a job on a pickup: options { strings, distances = {mm above the poles}, faces = {{part, side, distance}}, pluck, equal, circuit }.
function bench.open(pickup, options)
    local job = kept(pickup, options)
    if job then
        return job
    end
    job = { pickup = pickup, parts = bench.parts_of(pickup), coils = flat(pickup.coils or {}), straight = {},
        strength = 1, sound = {}, charges = {}, eddy = {}, distances = options.distances or {},
        faces = options.faces or {}, peak_frequencies = FREQUENCIES_OF_PEAK, settings = options, circuit = options.circuit, heard_through = {}, wants = {} }
    job.poles, job.pole_coils = core.poles(pickup)
    job.probes = bench.probes(job)
    job.has_strings = options.strings ~= nil
    job.strings = placed(job, options.strings or usual_strings(job))
    job.rests = core.rests(pickup)
    job.full, job.rough = pickup:with({ accuracy = FULL_ACCURACY }), pickup:with({ accuracy = DRAFT_ACCURACY })
    job.eddy.pickup = job.rough
    job.full_field = full_fields(job)
    find_strength(job)
    find_ratios(job)
    for i, part in ipairs(job.parts) do
        if bench.kind(part) == "magnet" then
            job.charges[#job.charges + 1] = charge_of(i)
        end
    end
    job.sound_state = bench.sound_state(job)
    if #job.coils > 0 then
        find_coils(job)
        job.hum = core.hum(job.rough)
    end
    job.fault_list, job.fault_weight = bench.faults(job), 0
    for _, fault in ipairs(job.fault_list) do
        job.fault_weight = job.fault_weight + fault.prior
    end
    jobs[pickup] = job
    return job
end
