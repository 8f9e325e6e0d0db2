-- bench_state.lua - a pickup in some state of repair: fields, signals and coils, and what an ohm meter, a bridge and a
-- cable would find.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local bench = core.bench

bench.OPEN_OHM = core.OPEN_OHM
bench.LEADS_OHM = 0.5 -- of the meter, which reads no less

function bench.sound_state(job)
    local hot = core.leads(job.pickup)
    local state = { coils = {}, charge = {}, changes = {}, hot = hot, shielded = true, capacitance = 1,
        circuit = bench.sound_circuit() }
    for i in ipairs(job.charges) do
        state.charge[i] = 1
    end
    for i in ipairs(job.coils) do
        state.coils[i] = { turns = 1, wire = 1, short = 0, core = 1 }
    end
    return state
end

local function copied(value)
    if core.type(value) ~= "table" then
        return value
    end
    local copy = {}
    for key, item in next, value do
        copy[key] = copied(item)
    end
    return copy
end

-- Values at a size from those at the nodes (Lagrange).
local function at_size(nodes, size)
    local result = {}
    for a, node in ipairs(nodes) do
        local weight = 1
        for b, other in ipairs(nodes) do
            weight = a == b and weight or weight * (size - other.size) / (node.size - other.size)
        end
        for k, value in ipairs(node.values) do
            result[k] = (result[k] or 0) + weight * value
        end
    end
    return result
end

-- One quantity as a change of parts leaves it, at a size; `change` has memo, parts, sound and nodes.
local function after(job, change, size, what)
    if change.lift and what ~= "signal" then
        return bench.ask(job, job.sound, job.parts, what) -- only the strings have moved
    elseif not change.nodes then
        return bench.ask(job, change.memo, change.parts(job.parts), what)
    end
    local nodes = { { size = change.sound, values = bench.ask(job, job.sound, job.parts, what) } }
    for n, node in ipairs(change.nodes) do
        change.memo[n] = change.memo[n] or {}
        nodes[n + 1] = { size = node, values = change.lift and bench.lifted(job, change.memo[n], node)
            or bench.ask(job, change.memo[n], change.parts(job.parts, node), what) }
    end
    return at_size(nodes, size)
end

-- What each change adds to the sound pickup, added up: exact for fields of straight laws, near for signals.
local function quantity(job, state, what)
    local sound, ratio = bench.ask(job, job.sound, job.parts, what), job.ratio[what]
    local sum = { table.unpack(sound) }
    local function add(change, size, share)
        for k, value in ipairs(after(job, change, size, what)) do
            sum[k] = sum[k] + share * (value - sound[k])
        end
    end
    for i, change in ipairs(job.charges) do
        if state.charge[i] ~= 1 and what ~= "inductance" then
            add(change, state.charge[i], 1)
        end
    end
    if state.grade and what == "inductance" then
        add(state.grade, nil, 1)
    end
    for _, change in ipairs(state.changes) do
        -- A magnet that lies wrong does so with the charge it has.
        add(change.fault, change.size, state.charge[change.fault.magnet] or 1)
    end
    for k in ipairs(sum) do
        sum[k] = sum[k] * (ratio[k] or 1)
    end
    return sum
end

-- The state under some faults at some sizes. Fields, signals and inductance are found when first asked for.
function bench.state(job, faults, sizes)
    local state = copied(job.sound_state)
    for n, fault in ipairs(faults) do
        if fault.state then
            fault.state(state, sizes[n])
        else
            state.changes[#state.changes + 1] = { fault = fault, size = sizes[n] }
        end
    end
    local found = {}
    function state.get(what)
        found[what] = found[what] or quantity(job, state, what)
        return found[what]
    end
    return state
end

-- ---- electricity ----

function bench.is_open(state)
    return core.series_passes(state.coils) < 1
end

-- dc resistance in ohm of each coil, copper at temperature_c.
function bench.coil_dcr(job, state, temperature_c)
    local list = core.series_resistances(state.coils, job.electric.r, temperature_c)
    for i, ohm in ipairs(list) do
        list[i] = math.max(ohm, bench.LEADS_OHM)
    end
    return list
end

-- Of all coils in series.
function bench.dcr(job, state, temperature_c)
    local sum = state.coils.joint or 0
    for _, ohm in ipairs(bench.coil_dcr(job, state, temperature_c)) do
        sum = sum + ohm
    end
    return math.min(sum, bench.OPEN_OHM)
end

-- What eddy currents do at a frequency to a pickup: extra resistance and reactance, for each henry of it. `of` keeps them.
local function eddy(of, f)
    if not of[f] then
        local row, static = of.pickup:impedance({ f = f })[1], of.pickup:winding()[1].l_h
        of[f] = { r = row.extra_ohm / static, l = row.l_h / static }
    end
    return of[f]
end

-- Series resistance and inductance at a frequency, own capacitance left out, as p:impedance gives them, and how much of both shorted
-- turns bring.
function bench.impedance(job, state, f, temperature_c)
    local losses = eddy(state.sheets or job.eddy, f)
    local r, l, short_r, short_l = core.series_impedance(state.coils, job.electric.r, state.get("inductance"), f,
        losses.r, losses.l, temperature_c)
    return r, l, { r = short_r, l = short_l }
end

local LEAST_H = 1e-4 -- below that nothing rings

-- What the coils are at each frequency, { hertz, ohm, henry }; nil when nothing of them rings.
function bench.coil_rows(job, state)
    local rows = {}
    for k, f in ipairs(job.peak_frequencies) do
        local r, l = bench.impedance(job, state, f, 20)
        rows[k] = { f, r, l }
    end
    return rows[1][3] >= LEAST_H and rows or nil
end

-- The coils as one that was measured so.
function bench.lumped(job, state, rows)
    return ll.lumped({ measured = rows, c = job.electric.c * state.capacitance })
end

-- Frequency of the peak with a load, found by the network of circuits; nil when there is none.
function bench.peak(job, state, load)
    local rows = bench.coil_rows(job, state)
    local fields = { from = rows and bench.lumped(job, state, rows) }
    for key, value in next, load do
        fields[key] = value
    end
    return rows and ll.network(fields):peak()[1].f_hz
end

-- ---- strings and hum ----

-- By what each coil counts at the hot lead.
local function factors(state)
    local list, passes = core.series_turns(state.coils), core.series_passes(state.coils)
    for c, turns in ipairs(list) do
        list[c] = state.hot * passes * turns
    end
    return list
end

-- Sum over the coils of what is listed for each thing, coil by coil.
local function summed(values, count, factor)
    local list, coils = {}, #factor
    for n = 1, count do
        list[n] = 0
        for c = 1, coils do
            list[n] = list[n] + factor[c] * values[(n - 1) * coils + c]
        end
    end
    return list
end

-- Hot lead against ground as a blade leaves each pole, in the linkage that it takes with it.
function bench.blades(job, state)
    return summed(state.get("blade"), #job.poles, factors(state))
end

-- Each coil's signal over that of the sound pickup.
local function changed_signal(job, state, s, c)
    local at = (s - 1) * #state.coils + c
    local sound = bench.ask(job, job.sound, job.parts, "signal")[at]
    return sound ~= 0 and state.get("signal")[at] / sound or 1
end

-- How loud each string is at the amplifier, plucked or moved at the same velocity, in any unit.
function bench.levels(job, state)
    local factor, squares, share_through = factors(state), bench.squares(job), bench.gets_through(job, state)
    for c, turns in ipairs(factor) do
        factor[c] = turns * share_through
    end
    if not squares then
        local list = summed(state.get("signal"), #job.strings, factor)
        for s, v in ipairs(list) do
            list[s] = math.abs(v)
        end
        return list
    end
    local list = {}
    for s in ipairs(job.strings) do
        local share = {}
        for c in ipairs(factor) do
            share[c] = factor[c] * changed_signal(job, state, s, c)
        end
        list[s] = core.plucked_level(squares[s], share)
    end
    return list
end

local function hum_taken(job, state)
    return core.hum_taken(job.hum, core.series_turns(state.coils))
end

local LEAST_HUM = 0.01 -- below that the rest of the instrument hums louder; common practice, no source
local LOST_GROUND_DB, ANTENNA_DB, ANTENNA_SCATTER_DB = 8, 6, 10

-- Hum in dB over that of the sound pickup, of fields from any direction, even ones and such as grow, as p:hum has them, and how far it
-- scatters. What a lost ground adds is common practice, no source; so is that an input on a broken wire is an antenna.
function bench.hum_db(job, state)
    if bench.is_broken(state) then
        return ANTENNA_DB, ANTENNA_SCATTER_DB
    end
    local through = bench.gets_through(job, state) / bench.gets_through(job, job.sound_state)
    local ratio = math.max(through * hum_taken(job, state) / hum_taken(job, job.sound_state), LEAST_HUM)
    return 20 * math.log(ratio, 10) + (state.shielded and 0 or LOST_GROUND_DB), 0
end
