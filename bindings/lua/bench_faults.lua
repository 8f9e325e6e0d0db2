-- bench_faults.lua - what can be wrong with a pickup, made from its own description.
--
-- A fault changes the state by `state(state, size)`, or the parts by `parts(list, size)`, which gives the changed
-- list. One of unknown size has `range`, the sizes it may have, `sound`, the size of a sound pickup, and `spread`,
-- how far sound ones scatter about that (one standard deviation); where parts must be solved, `nodes` are the sizes
-- to do so at. `target` is what it is about: two faults of one target cannot come together. How often its kind is
-- met only matters where readings do not decide.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local bench = core.bench
local format, log = string.format, math.log

-- What is known of each kind of fault: how often it is met against the others (all faults of a kind share that), what its mend takes in
-- minutes of bench work, and what it risks. Common practice, no source.
local thin = "leads are thinner than a hair: note where each goes, hold them while you heat, tug at none"
local apart = "note which way each magnet faces and photograph all before you take it apart; old flatwork cracks, and poles that carry the "
    .. "winding must not be moved"
local magnet = "magnets are brittle and jump together: eyes and fingers first; like poles slid over one another lose charge, AlNiCo above all"
local winding = "a rewind is the last thing to do: it cannot be undone, so try what costs less first"
local control = "solder runs and spits: cover the finish, and note which lug each wire sits on before you heat one"
bench.kinds = {
    flipped = { often = 6, minutes = 30, risk = apart },
    quarter = { often = 4, minutes = 30, risk = apart },
    gone = { often = 2, minutes = 30, risk = magnet },
    weak = { often = 8, minutes = 20, risk = magnet },
    all_weak = { often = 8, minutes = 20, risk = magnet },
    grade = { often = 4, minutes = 45, risk = apart },
    all_flipped = { often = 4, minutes = 45, risk = apart },
    pole_gone = { often = 2, minutes = 10 },
    hard = { often = 2, minutes = 10 },
    height = { often = 5, minutes = 2 },
    all_heights = { often = 3, minutes = 5 },
    far = { often = 5, minutes = 2 },
    plate_gone = { often = 2, minutes = 30, risk = apart },
    metal = { often = 2, minutes = 30, risk = "unsoldering a cover heats wax and coil: little heat, not for long" },
    open = { often = 10, minutes = 30, risk = thin },
    shorted = { often = 14, minutes = 180, risk = winding },
    few = { often = 6, minutes = 180, risk = winding },
    many = { often = 3, minutes = 180, risk = winding },
    wire = { often = 4, minutes = 180, risk = winding },
    leads = { often = 6, minutes = 10, risk = "cover and shield must stay on ground" },
    one_coil = { often = 6, minutes = 15, risk = thin },
    loose = { often = 5, minutes = 60, risk = "hot wax burns and catches fire: water bath, no open flame, not above what the bobbin stands" },
    cover = { often = 2, minutes = 10, risk = "little heat, not for long: wax and coil lie close below" },
    joint = { often = 6, minutes = 10, risk = thin },
    touching = { often = 2, minutes = 20, risk = thin },
    bypassed = { often = 2, minutes = 20, risk = thin },
    grounded = { often = 3, minutes = 15, risk = thin },
    silent = { often = 0.3, minutes = 5 }, -- of a pickup that is compared through the same cable
    path = { often = 6, minutes = 5 },
    pot = { often = 3, minutes = 15, risk = control },
    capacitor = { often = 3, minutes = 15, risk = control },
}

-- The list with one part changed; false takes it out.
local function changed(list, i, part)
    local copy = { table.unpack(list) }
    copy[i] = part
    return copy
end

-- A fault that cannot be built here, and why not.
local function leave_out(job, says, why)
    job.left_out[#job.left_out + 1] = says .. ": " .. why
end

local function percent(size)
    return format("%.0f %%", 100 * size)
end

local function millimetres(size)
    return format("%.1f mm", math.abs(size))
end

-- "too low by 0.4 mm" rather than too high by -0.4.
local function too_high(size)
    return size < 0 and "too low by" or "too high by"
end

-- ---- heights ----

-- How far sound poles scatter, one standard deviation; further than that from its place a pole is wrong.
local HEIGHT_SPREAD = 0.15
local FARTHEST, NEAREST_STRING = 2, 0.3 -- mm
local WORTH_A_NODE = 0.1

-- How far a pole may stand too high: up to what is above it and the strings over it.
local function room_above(job, i)
    local most = core.travel(job.pickup, i, "up", FARTHEST)
    local x_reach, _, z_reach = core.reach(job.parts[i])
    local at = bench.centre(job.parts[i])
    for _, string in ipairs(job.strings) do
        if math.abs(string.x - at[1]) <= x_reach + string.gauge / 2 then
            most = math.min(most, string.z - string.gauge / 2 - at[3] - z_reach - NEAREST_STRING)
        end
    end
    return math.max(0, most)
end

-- Heights to solve at, three quarters of the way to the ends or both on the side that has room.
local function heights_within(low, high)
    if low < -WORTH_A_NODE and high > WORTH_A_NODE then
        return { 0.75 * low, 0.75 * high }
    end
    local far = high > -low and high or low
    return { far / 2, far }
end

-- All poles alike: as far as the one with the least room.
local function all_heights(add, job)
    local low, high, is_pole = -FARTHEST, FARTHEST, job.is_pole
    for _, i in ipairs(job.poles) do
        low, high = math.max(low, -core.travel(job.pickup, i, "down", FARTHEST)), math.min(high, room_above(job, i))
    end
    if #job.poles < 2 then
        return
    elseif high - low < 3 * WORTH_A_NODE then
        return leave_out(job, "all poles stand too low or too high", "they can move neither up nor down")
    end
    add("all_heights", { says = "all poles stand too low or too high", mend = "set them all by that much the other way",
        what = too_high, range = { low, high }, nodes = heights_within(low, high), sound = 0, spread = HEIGHT_SPREAD,
        show = millimetres, tolerance = "height of all poles", parts = function(list, size)
            local copy = {}
            for i, part in ipairs(list) do
                copy[i] = part and is_pole[i] and part:moved(0, 0, size) or part
            end
            return copy
        end })
end

-- Strings that lie higher than described: only what is heard of them changes.
local function too_far(add)
    add("far", { says = "the pickup is too far from the strings", mend = "raise it", what = "too far by", range = { 0, 4 },
        nodes = { 1.2, 3.2 }, sound = 0, spread = 0.3, show = millimetres, tolerance = "distance of the strings", lift = true })
end

local function height_fault(add, job, i, label, target)
    local low, high = -core.travel(job.pickup, i, "down", FARTHEST), room_above(job, i)
    if high - low < 3 * WORTH_A_NODE then
        return leave_out(job, label .. " stands at the wrong height", "it can move neither up nor down")
    end
    add("height", { says = label .. " stands at the wrong height", mend = "set it by that much the other way",
        what = too_high, range = { low, high }, nodes = heights_within(low, high), sound = 0,
        spread = HEIGHT_SPREAD, show = millimetres, target = target, tolerance = "height of " .. label,
        parts = function(list, size)
            return changed(list, i, list[i]:moved(0, 0, size))
        end })
end

-- ---- magnets ----

local function longest_edge(part)
    local size, best = part.size, 1
    for k = 2, 3 do
        if size[k] > 1.5 * size[best] then
            best = k
        end
    end
    return ({ "x", "y", "z" })[best]
end

-- A bar turns about its long edge; one that is as long one way as another would need to be told which.
local function quarters(add, job, m, i, label)
    local part = job.parts[i]
    if getmetatable(part) ~= "block" then
        return
    end
    local axis = longest_edge(part)
    for _, degrees in ipairs({ 90, -90 }) do
        -- What does not fit nobody can have done; not without a word, for the description may be off.
        local fits, why = core.pcall(ll.pickup, { parts = changed(job.parts, i, part:turned(axis, degrees)),
            coils = job.coils })
        local says = format("%s is a quarter turn wrong (%+d degrees about %s)", label, degrees, axis)
        if not fits then
            leave_out(job, says, string.match(core.tostring(why), ": (part .-);") or "there is no room")
        else
            add("quarter", { says = says,
                mend = "turn it back, so that the same face looks at the poles as on a sound one",
                target = "magnet " .. m, magnet = m,
                parts = function(list)
                    return changed(list, i, list[i]:turned(axis, degrees))
                end })
        end
    end
end

-- A fault of the charge of some magnets, by their places among the magnets.
local function charge_fault(add, kind, magnets, fault)
    fault.target = #magnets == 1 and "magnet " .. magnets[1] or nil
    function fault.state(state, size)
        for _, m in ipairs(magnets) do
            state.charge[m] = state.charge[m] * size
        end
    end
    add(kind, fault)
end

local function of_magnet(add, job, m, i)
    local label = bench.label(job.parts[i], i, "magnet")
    charge_fault(add, "flipped", { m }, { says = label .. " is upside down, north for south",
        mend = "turn it over", fixed = -1 })
    charge_fault(add, "gone", { m }, { says = label .. " is missing or dead", mend = "fit or charge it",
        fixed = 0 })
    charge_fault(add, "weak", { m }, { says = label .. " is weak or cracked", mend = "look for a crack, else charge it; else replace it",
        what = "strength left", range = { 0.1, 0.9 }, sound = 1, spread = 0.04, show = percent,
        tolerance = "strength of " .. label })
    quarters(add, job, m, i, label)
    if job.is_pole[i] then
        height_fault(add, job, i, label, "magnet " .. m)
    end
end

local families = { { "AlNiCo 2", "AlNiCo 3", "AlNiCo 4", "AlNiCo 5", "AlNiCo 8" },
    { "ferrite C1", "ferrite C5", "ferrite C8" },
    { "NdFeB N35", "NdFeB N42", "NdFeB N52" } }

local function family_of(material)
    for _, names in ipairs(families) do
        for _, name in ipairs(names) do
            if material == name then
                return names
            end
        end
    end
    return {}
end

local function all_made_of(job, parts, material)
    local list = { table.unpack(parts) }
    for _, charge in ipairs(job.charges) do
        list[charge.part] = list[charge.part] and list[charge.part]:with({ material = material })
    end
    return list
end

-- How strong the magnets would be all made of a material, charged as well: field over the poles, or at the faces.
local function strength(job, material)
    local sum = 0
    for _, mt in ipairs(bench.true_fields(job, all_made_of(job, job.parts, material))) do
        sum = sum + math.abs(mt)
    end
    return sum
end

local function inductance(job, memo, parts)
    local sum = 0
    for _, henry in ipairs(bench.ask(job, memo, parts, "inductance")) do
        sum = sum + henry
    end
    return sum
end

-- Another grade is weaker or stronger, and its recoil permeability changes the inductance of a coil around it; one that does
-- neither is no fault.
local function grade_fault(add, job, all, own, other, share)
    local fault = { memo = {}, says = "the magnets are of " .. other .. ", not of " .. own,
        mend = "fit " .. own .. ", or leave it and say so", fixed = share }
    function fault.parts(list)
        return all_made_of(job, list, other)
    end
    local coils = #job.coils > 0
    if math.abs(share - 1) < 0.04 and not (coils and math.abs(inductance(job, fault.memo, fault.parts(job.parts))
            / inductance(job, job.sound, job.parts) - 1) > 0.04) then
        return
    end
    charge_fault(add, "grade", all, fault)
    local weaken = fault.state
    function fault.state(state, size)
        weaken(state, size)
        state.grade = fault
    end
end

-- The magnets of other grades of the family, all of them.
local function of_grade(add, job, all)
    local own = core.tostring(job.parts[job.charges[1].part].material)
    local names = #job.probes > 0 and family_of(own) or {}
    local usual = #names > 0 and strength(job, own)
    for _, name in ipairs(names) do
        if name ~= own then
            grade_fault(add, job, all, own, name, strength(job, name) / usual)
        end
    end
end

local function of_all_magnets(add, job)
    local all = {}
    for m in ipairs(job.charges) do
        all[m] = m
    end
    if #all > 1 then
        charge_fault(add, "all_flipped", all, { says = "all magnets are the other way up: the phase is reversed",
            mend = "nothing alone; to match other pickups turn all of them over, or swap the leads", fixed = -1 })
        charge_fault(add, "all_weak", all, { says = "all magnets are weak", mend = "charge them", what = "strength left",
            range = { 0.2, 0.88 }, sound = 1, spread = 0.05, show = percent, tolerance = "strength of all magnets" })
    end
    if #all > 0 then
        of_grade(add, job, all)
    end
end

-- ---- steel ----

local function of_pole(add, job, i)
    local label = bench.label(job.parts[i], i, "pole")
    local target = "part " .. core.integer(i)
    local function made_of(material)
        return function(list)
            return changed(list, i, list[i]:with({ material = material }))
        end
    end
    -- A gap and a pole of brass read alike; the eye tells them apart.
    add("pole_gone", { says = label .. " is missing or not magnetic (brass, austenitic stainless)",
        mend = "fit a steel one",
        target = target, parts = function(list)
            return changed(list, i, false)
        end })
    add("hard", { says = label .. " is of hard or stainless steel", mend = "fit one of mild steel",
        target = target, parts = made_of(bench.hard_steel) })
    height_fault(add, job, i, label, target)
end

-- Tool steel and hardened stainless: permeability of some tens, from memory of handbook tables.
bench.hard_steel = ll.steel({ mu_r = 40 })

local function of_plate(add, job, i)
    local label = bench.label(job.parts[i], i, "part")
    add("plate_gone", { says = label .. " is missing", mend = "fit it", parts = function(list)
        return changed(list, i, false)
    end })
end

-- Covers and plates of another metal than described dull and damp otherwise; all sheets at once.
local sheet_metals = { "nickel silver", "brass", "copper" }

local function made_of_metal(job, metal)
    local list = {}
    for i, part in ipairs(job.parts) do
        list[i] = bench.kind(part) == "conductor" and part:with({ material = metal }) or part
    end
    return job.pickup:with({ parts = list, accuracy = job.rough.accuracy })
end

local function of_sheets(add, job)
    local own
    for _, part in ipairs(job.parts) do
        own = bench.kind(part) == "conductor" and core.tostring(part.material) or own
    end
    for _, metal in ipairs(own and #job.coils > 0 and sheet_metals or {}) do
        if metal ~= own then
            local sheets = { pickup = made_of_metal(job, metal) }
            add("metal", { says = "the cover is of " .. metal .. ", not of " .. own, mend = "fit one of " .. own
                .. ", or leave it and say so", state = function(state)
                    state.sheets = sheets
                end })
        end
    end
end

-- ---- coils ----

-- The wires next to a coil's own: { says, ohm of a metre over that of its own }. One that is given by its diameter has those a gauge
-- number thinner and thicker, for which the same ratio stands (ASTM B258).
local function neighbours(wire)
    local own, gauge = wire:figures()[1], wire.awg
    if gauge then
        return { { format("AWG %.0f, not %.0f", gauge - 1, gauge), ll.awg(gauge - 1):figures()[1].per_m_ohm / own.per_m_ohm },
            { format("AWG %.0f, not %.0f", gauge + 1, gauge), ll.awg(gauge + 1):figures()[1].per_m_ohm / own.per_m_ohm } }
    end
    local list, ratio = {}, ll.awg(42):figures()[1].bare_mm / ll.awg(43):figures()[1].bare_mm
    for n, factor in ipairs({ ratio, 1 / ratio }) do
        list[n] = { format("%.3f mm, not %.3f mm", own.bare_mm * factor, own.bare_mm), 1 / factor ^ 2 }
    end
    return list
end

local function of_wire(add, coil, i, label)
    for _, other in ipairs(coil.wire and neighbours(coil.wire) or {}) do
        add("wire", { says = label .. " is wound with " .. other[1], mend = "wind it again, or leave it and say so",
            state = function(state)
                state.coils[i].wire = state.coils[i].wire * other[2]
            end })
    end
end

local function of_coil(add, coil, i, coils)
    local label = bench.label(coil, i, "coil")
    local function coil_fault(kind, fields, change)
        fields.state = function(state, size)
            change(state.coils[i], size)
        end
        add(kind, fields)
    end
    local function turns(c, size)
        c.turns = c.turns * size
    end
    coil_fault("open", { says = label .. " is open: a broken wire or lead",
        mend = "find the break at the leads first; else wind it again" },
        function(c)
            c.open = true
        end)
    coil_fault("shorted", { says = label .. " has shorted turns", mend = "wind it again", what = "of the turns",
        range = { 0.003, 0.6 }, logarithmic = true, sound = 0, show = function(size)
            return format("%.1f %%", 100 * size)
        end }, function(c, size)
            c.short = size
        end)
    coil_fault("few", { says = label .. " has too few turns", mend = "wind it again, or leave it and say so",
        what = "of the turns",
        range = { 0.55, 0.96 }, sound = 1, show = percent }, turns)
    coil_fault("many", { says = label .. " has too many turns", mend = "leave it and say so, or wind it again",
        what = "of the turns",
        range = { 1.04, 1.4 }, sound = 1, show = percent }, turns)
    of_wire(add, coil, i, label)
    if coils > 1 then
        coil_fault("one_coil", { says = label .. " is reversed against the other (leads or winding)",
            mend = "swap the two leads of that coil" }, function(c)
                c.reversed = not c.reversed
            end)
    end
end

local function ohm(size)
    return format(size < 1000 and "%.0f ohm" or "%.2g kohm", size < 1000 and size or size / 1000)
end

-- Between the coils and the hot lead.
local function of_joints(add, coils)
    add("joint", { says = "a poor joint in the leads", mend = "wiggle each lead while the meter watches, and solder the one that answers",
        what = "it adds", range = { 200, 50000 }, logarithmic = true, sound = 0, show = ohm, state = function(state, size)
            state.coils.joint = size
        end })
    add("grounded", { says = "the hot lead touches ground: plate, cover or braid", mend = "look where it is pinched, and insulate it",
        state = function(state)
            for _, coil in ipairs(state.coils) do
                coil.short = 1
            end
            state.coils.joint = 1 -- of leads and meter
        end })
    for i, coil in ipairs(#coils > 1 and coils or {}) do
        add("bypassed", { says = bench.label(coil, i, "coil") .. " is bridged: its two leads touch, or one lead between the coils "
            .. "touches ground", mend = "look where they touch, and insulate them", state = function(state)
                state.coils[i].short = 1
            end })
    end
    if #coils > 1 then
        add("touching", { says = "the two coils touch, with turns of both in between", mend = "look at the joint between them; "
            .. "else wind them again", what = "of the turns", range = { 0.01, 0.5 }, logarithmic = true, sound = 0, show = percent,
            state = function(state, size)
                for _, coil in ipairs(state.coils) do
                    coil.short = size
                end
                state.coils.one_loop = true
            end })
    end
end

-- A finger does not tell which of two coils rattles.
local function of_loose_turns(add, coils)
    local label = #coils == 1 and bench.label(coils[1], 1, "coil") or "one of the coils"
    add("loose", { says = label .. " has loose turns", mend = "pot it in wax", state = function(state)
        state.loose = true
    end })
end

local function of_leads(add)
    add("leads", { says = "leads swapped, or wound the other way: the phase is reversed",
        mend = "swap hot and ground; mind that the cover and the shield stay on ground",
        state = function(state)
            state.hot = -state.hot
        end })
    add("cover", { says = "the cover or the shield has lost its ground", mend = "solder the ground again",
        state = function(state)
            state.shielded = false
        end })
end

-- ---- all of them ----

local function of_parts(add, job)
    for m, charge in ipairs(job.charges) do
        of_magnet(add, job, m, charge.part)
    end
    of_all_magnets(add, job)
    for i, part in ipairs(job.parts) do
        if bench.kind(part) == "steel" then
            (job.is_pole[i] and of_pole or of_plate)(add, job, i)
        end
    end
end

-- The middles of so many cells of a fault's range, which are alike or alike in their ratio, and the cells' numbers; cells of
-- what a sound pickup may have are left out. Without a range: one size, no cells.
function bench.sizes(fault, count)
    if not fault.range then
        return { fault.fixed or 1 }
    end
    local list, places, from, to = {}, {}, fault.range[1], fault.range[2]
    for k = 1, count do
        local share = (k - 0.5) / count
        local size = fault.logarithmic and from * (to / from) ^ share or from + share * (to - from)
        if math.abs(size - fault.sound) > 2 * (fault.spread or 0) then
            list[#list + 1], places[#places + 1] = size, k
        end
    end
    return list, places
end

-- The faults of a job: what they say, how they change the state, and their prior weight.
function bench.faults(job)
    local list, count = {}, {}
    job.left_out, job.is_pole = {}, {}
    for _, i in ipairs(job.poles) do
        job.is_pole[i] = true
    end
    local function add(kind, fault)
        fault.kind, fault.memo = kind, fault.memo or {}
        count[kind] = (count[kind] or 0) + 1
        list[#list + 1] = fault
    end
    of_parts(add, job)
    all_heights(add, job)
    of_sheets(add, job)
    for i, coil in ipairs(job.coils) do
        of_coil(add, coil, i, #job.coils)
    end
    if #job.coils > 0 then
        of_joints(add, job.coils)
        of_loose_turns(add, job.coils)
        of_leads(add)
        too_far(add)
        bench.of_circuit(add, job)
    end
    for _, fault in ipairs(list) do
        fault.prior = bench.kinds[fault.kind].often / count[fault.kind]
    end
    return list
end
