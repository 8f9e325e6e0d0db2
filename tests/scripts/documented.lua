-- The tables of docs/language.md, which documented.cmake puts behind their markers: fields=coil, words=pickup, columns=poles,
-- list=usual; and what the manual must have: list=nouns, list=readings, list=unsaid. list=unset: columns that no reading sets.
local function say(list)
    print(table.concat(list, "\n"))
end

-- A result, of which something must hold.
local function tried(result, holds)
    assert(holds(result), result)
    return result
end

-- A pickup that needs no mesh, since only the names of its columns are asked for. Its coils and strings are such that every column
-- has something to say.
local function results()
    local rod = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, -8.5 },
        material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" }
    local alnico = rod:with{ material = "AlNiCo 5" }
    local wire = ll.awg(42)
    local coil = ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, -8.5 }, wire = wire }
    local p = ll.pickup{ parts = { rod }, coils = { coil, coil:with{ at = { 0, 20, -8.5 } } } }
    local s = ll.string{ note = "G3", gauge = 0.4, x = 0, gap = 3 }
    local n = ll.network{ from = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf }, input = 1e6 }
    return {
        ["pickup.field"] = tried(p:field{ { 0, 0, 1 } }, function(t)
            return t[1].bz_mt > 0 and t[1].b_mt >= t[1].bz_mt
        end),
        ["pickup.section"] = p:section{ part = "pole 1", at = -5 },
        ["pickup.poles"] = p:poles{},
        ["pickup.operating"] = p:operating{},
        ["pickup.charge"] = tried(p:with{ parts = { alnico } }:charge{ through = p:with{ parts = { alnico } }, before = "full" }, function(t)
            return #t == 3 and t[3].face_gauss > 100 and math.abs(t[3].of_full_percent - 100) < 1
        end),
        ["pickup.winding"] = p:winding{},
        ["pickup.impedance"] = p:impedance{ f = 1000 },
        ["pickup.sensitivity"] = p:sensitivity{ strings = s },
        ["pickup.transfer"] = p:transfer{ strings = s, f = 1000 },
        ["pickup.hum"] = p:hum{},
        ["pickup.screwdriver"] = p:screwdriver(),
        ["pickup.linkage"] = p:linkage{ string = s, at = { 0, 3 } },
        ["pickup.crosstalk"] = p:crosstalk{ strings = s },
        ["pickup.pull"] = p:pull{ strings = s },
        ["pickup.along"] = tried(p:along{ string = s, at = { -5, 0, 5 } }, function(t)
            return t[1].b_along_mt < 0 and t[3].b_along_mt > 0 and t[2].up_kam > 0 and t[2].pull_nm > 0
        end),
        ["pickup.output"] = p:output{ strings = s, partials = 2 },
        ["pickup.listen"] = p:listen{ strings = s, seconds = 0.1, file = "x.wav" },
        ["pickup.microphony"] = p:microphony{ strings = s },
        ["pickup.facts"] = tried(p:facts(), function(t)
            return t[1].bodies == 0 and t[1].newton_steps == 0
        end),
        ["network.response"] = n:response{ f = 1000 },
        ["network.peak"] = n:peak(),
        ["network.noise"] = n:noise{ level = 100 },
        ["wire.figures"] = wire:figures(),
        ["material.figures"] = ll.material("brass"):figures(),
        ["ll.blend"] = ll.blend{ pickups = { p, p:with{ parts = { rod:moved(0, 60, 0) }, coils = { coil:with{ at = { 0, 60, -8.5 } } } } },
            strings = ll.string{ note = "G3", gauge = 0.4, x = 0, gap = 3, scale = 648 }, from_bridge = { 40, 100 } },
        ["ll.instrument"] = tried(ll.instrument{ strings = ll.string{ note = "G3", gauge = 0.4, x = 0, gap = 3, scale = 648 },
            pickups = { { name = "neck", pickup = p, from_bridge = 150 },
                { name = "bridge", coil = ll.lumped{ r = 6000, l = 2.4 }, from_bridge = 50, shows = "N", meter = "positive" } },
            positions = { "neck", { name = "both", from = { "neck", "bridge" }, wiring = "parallel" } },
            controls = { cable_m = 5, input = 1e6 } }, function(t)
                return t[2].phase ~= nil and t[2].peak_hz > t[1].peak_hz
            end),
        ["pickup.spread"] = p:spread{ of = { "wire" }, measured = { dcr_ohm = 9000 }, read = function(q)
            return { dcr_ohm = q:winding()[1].dcr_ohm }
        end },
        ["ll.materials"] = ll.materials(),
        ["ll.usual"] = ll.usual(),
        ["ll.winding_plan"] = tried(ll.winding_plan{ opening = { 57, 6 }, room = 4.5, height = 11, wires = { wire }, turns = 8000, old = 7000 },
            function(t)
                return t[1].level_db > 0 and t[1].peak_ratio < 1
            end),
    }
end

-- Tables that take a job, a fit or a recording: the scripts that are named show them.
local tried_elsewhere = { ["diagnosis.change"] = "job", ["job.said"] = "job", ["diagnosis.faults"] = "diagnosis", ["diagnosis.readings"] = "diagnosis", ["diagnosis.next"] = "diagnosis",
    ["diagnosis.meanings"] = "diagnosis", ["identify.builds"] = "identify", ["identify.wires"] = "identify", ["identify.next"] = "identify",
    ["ll.balance"] = "balance", ["ll.fit"] = "fit", ["find_coil.found_coil"] = "session", ["find_coil.found_curve"] = "session",
    ["recording.string_levels"] = "session", ["recording.string_partials"] = "session", ["recording.hum_lines"] = "session",
    ["recording.knocks"] = "session", ["recording.channels"] = "session", ["recording.measured_impedance"] = "session" }

-- Names of the readings that have columns, as they stand in the manual: with their noun where two have the same name.
local function readings()
    local list, seen, nouns = {}, {}, {}
    for _, row in ipairs(ll.columns()) do
        local noun, name = string.match(row.reading, "^(.*)%.(.-)$")
        nouns[name] = nouns[name] or {}
        if not seen[row.reading] then
            seen[row.reading] = true
            table.insert(nouns[name], noun)
            table.insert(list, row.reading)
        end
    end
    for i, reading in ipairs(list) do
        local name = string.match(reading, "[^.]*$")
        list[i] = #nouns[name] == 1 and name or reading
    end
    return list
end

-- Columns that a reading declares and that none of its rows has, and readings that are not tried here.
local function unset()
    local list, of = {}, results()
    for _, row in ipairs(ll.columns()) do
        local set = false
        for _, r in ipairs(of[row.reading] or {}) do
            set = set or r[(string.gsub(row.column, "_N", "_1"))] ~= nil
        end
        set = set or tried_elsewhere[row.reading] ~= nil
        list[#list + 1] = not set and row.reading .. ": " .. row.column or nil
    end
    return list
end

-- The columns of one reading, without its name.
local function columns_of(reading)
    local t = ll.table{ columns = { "column", "unit", "error", "meaning" } }
    for _, row in ipairs(ll.columns(reading)) do
        t:add{ column = "`" .. row.column .. "`", unit = row.unit, error = row.error, meaning = row.meaning }
    end
    return t
end

-- What can be asked of a noun, as it is written.
local function words(owner)
    local t = ll.table{ columns = { "call", "gives", "meaning" } }
    for _, row in ipairs(ll.words(owner)) do
        t:add{ call = "`" .. row.call .. "`", gives = row.gives, meaning = row.meaning }
    end
    return t
end

-- The table of results as Markdown, without title.
local function show(t)
    print((string.gsub(t:as("markdown"), "^%*%*.-\n\n", "")))
end

-- What the program can do and the list of words does not say, or the other way round.
local function unsaid()
    local list = {}
    local function look(owner)
        for _, row in ipairs(ll.words(owner)) do
            if row.meaning == "" then
                list[#list + 1] = row.call
            end
        end
    end
    look()
    for _, noun in ipairs{ "block", "rod", "ring", "screw", "material", "wire", "coil", "string", "pickup", "lumped",
        "network", "table", "recording" } do
        look(noun)
    end
    for _, row in ipairs(ll.words()) do
        local name = string.match(row.call, "^ll%.([%w_]+)")
        if not pcall(function() return ll[name] end) then
            list[#list + 1] = row.call .. " (there is none)"
        end
    end
    return list
end

if given.list == "nouns" then
    say(ll.fields():column("noun"))
elseif given.list == "unsaid" then
    say(unsaid())
elseif given.list == "readings" then
    say(readings())
elseif given.list == "unset" then
    say(unset())
elseif given.list == "usual" then
    show((ll.usual()))
elseif given.columns then
    show(columns_of(given.columns))
elseif given.words then
    show(words(given.words))
else
    show(ll.fields(given.fields))
end
