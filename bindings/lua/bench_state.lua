-- bench_state.lua - a pickup in some state of repair: fields, signals and coils, and what an ohm meter, a bridge and a
-- cable would find.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local bench = core.bench
local pi, sqrt = math.pi, math.sqrt

-- Shorted turns lie among the others. Computed with the engine's own coils, the outermost tenth of the turns couples
-- to the rest by 0.75 to 0.85; turns in the middle by more.
local COUPLING = 0.85
bench.OPEN_OHM = 9e6 -- as far as hand meters reach
-- What a break in the wire lets pass: its two sides are plates of a small capacitor. Common practice, no source.
local THROUGH_BREAK = 0.03

function bench.sound_state(job)
    local hot = core.leads(job.pickup)
    local state = { coils = {}, charge = {}, changes = {}, hot = hot, shielded = true, capacitance = 1 }
    for i in ipairs(job.charges) do
        state.charge[i] = 1
    end
    for i in ipairs(job.coils) do
        state.coils[i] = { turns = 1, wire = 1, short = 0, sign = 1, core = 1 }
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
    if not change.nodes then
        return bench.ask(job, change.memo, change.parts(job.parts), what)
    end
    local nodes = { { size = change.sound, values = bench.ask(job, job.sound, job.parts, what) } }
    for n, node in ipairs(change.nodes) do
        change.memo[n] = change.memo[n] or {}
        nodes[n + 1] = { size = node, values = bench.ask(job, change.memo[n], change.parts(job.parts, node), what) }
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

-- Share of a coil's turns that is left to give voltage.
local function lively(coil)
    return coil.turns * (1 - coil.short) * coil.sign
end

local function is_open(state)
    for _, coil in ipairs(state.coils) do
        if coil.open then
            return true
        end
    end
    return false
end
bench.is_open = is_open

-- dc resistance in ohm of each coil, copper at temperature_c; 0.393 % a degree from 20, IEC 60028.
function bench.coil_dcr(job, state, temperature_c)
    local list = {}
    for i, coil in ipairs(state.coils) do
        local cold = job.electric.r[i] * coil.turns * coil.wire * (1 - coil.short)
        list[i] = coil.open and bench.OPEN_OHM or cold * (1 + 0.00393 * (temperature_c - 20))
    end
    return list
end

-- Of all coils in series.
function bench.dcr(job, state, temperature_c)
    local sum = 0
    for _, ohm in ipairs(bench.coil_dcr(job, state, temperature_c)) do
        sum = sum + ohm
    end
    return math.min(sum, bench.OPEN_OHM)
end

-- Static inductance of all coils in series.
local function inductance(state)
    local sum, n, h = 0, #state.coils, state.get("inductance")
    for i, a in ipairs(state.coils) do
        for k, b in ipairs(state.coils) do
            sum = sum + h[(i - 1) * n + k] * sqrt(a.core * b.core) * lively(a) * lively(b)
        end
    end
    return sum
end

-- What eddy currents do at a frequency to the sound pickup: extra resistance and reactance, for each henry of it.
local function eddy(job, f)
    if not job.eddy[f] then
        local row, static = job.rough:impedance({ f = f })[1], job.rough:winding()[1].l_h
        job.eddy[f] = { r = row.extra_ohm / static, l = row.l_h / static }
    end
    return job.eddy[f]
end

-- A closed loop of shorted turns takes power like the secondary of a transformer: w^2 M^2 / Z of the loop comes in
-- series.
local function short_circuit(job, state, i, w, share_of_l)
    local coil = state.coils[i]
    local l = state.get("inductance")[(i - 1) * #state.coils + i] * coil.turns ^ 2 * coil.core * share_of_l
    local r_loop, x_loop = coil.short * job.electric.r[i] * coil.turns * coil.wire, w * coil.short ^ 2 * l
    local mutual = w * COUPLING * coil.short * (1 - coil.short) * l
    local share = mutual ^ 2 / (r_loop ^ 2 + x_loop ^ 2)
    return share * r_loop, -share * x_loop
end

-- Series resistance and inductance at a frequency, own capacitance left out, as p:impedance gives them.
function bench.impedance(job, state, f, temperature_c)
    local w, l, losses, of_short = 2 * pi * f, inductance(state), eddy(job, f), { r = 0, l = 0 }
    local r = bench.dcr(job, state, temperature_c) + losses.r * l
    local x = w * l * losses.l
    for i, coil in ipairs(state.coils) do
        if coil.short > 0 then
            local more_r, more_x = short_circuit(job, state, i, w, losses.l)
            r, x = r + more_r, x + more_x
            of_short.r, of_short.l = of_short.r + more_r, of_short.l + more_x / w
        end
    end
    return r, x / w, of_short
end

-- Peak with a load: frequency and rise over the low end, found by the network of circuits; nil when there is none.
function bench.peak(job, state, load)
    local measured = {}
    for k, f in ipairs(job.peak_frequencies) do
        local r, l = bench.impedance(job, state, f, 20)
        measured[k] = { f, r, l }
    end
    local coil = ll.lumped({ measured = measured, c = job.electric.c * state.capacitance })
    local fields = { from = coil }
    for key, value in next, load do
        fields[key] = value
    end
    local row = ll.network(fields):peak()[1]
    return row.f_hz, row.rise_db
end

-- ---- strings and hum ----

-- By what each coil counts: its lively turns, those of an open coil only through the break, for the coils are in series.
local function factors(state)
    local through, list = is_open(state) and THROUGH_BREAK or 1, {}
    for c, coil in ipairs(state.coils) do
        list[c] = state.hot * through * lively(coil)
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

-- How loud each string is, plucked or moved at the same velocity, in any unit.
function bench.levels(job, state)
    local factor, squares = factors(state), bench.squares(job)
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
    local share = {}
    for c, coil in ipairs(state.coils) do
        share[c] = lively(coil)
    end
    return core.hum_taken(job.hum, share)
end

-- Hum in dB over that of the sound pickup, of fields from any direction, even ones and such as grow, as p:hum has them. What a
-- lost ground adds is common practice, no source.
function bench.hum_db(job, state)
    local lost_ground = 8
    return 20 * math.log(hum_taken(job, state) / hum_taken(job, job.sound_state), 10) + (state.shielded and 0 or lost_ground)
end
