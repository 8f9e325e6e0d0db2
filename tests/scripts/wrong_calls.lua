-- Values of every wrong kind in every field of what is done in the module's own Lua, and in place of arguments: each is taken, or
-- refused at this script's line with a cure, never with a place inside the module and never in Lua's own words.
local rod = ll.rod{ name = "pole 1", diameter = 4.8, length = 17, at = { 0, 0, -8.5 }, north = "+z",
    material = ll.magnet{ remanence = 1000, recoil = 1 } }
local coil = ll.coil{ turns = 7900, wire = ll.awg(42), opening = { 6, 6 }, build = 3.5, height = 11, at = { 0, 0, -8 } }
local p = ll.pickup{ name = "sound", parts = { rod }, coils = { coil }, accuracy = 20 }
local s = ll.string{ note = "G3", gauge = 0.43, x = 0, gap = 2.5 }
local t = ll.table{ columns = { "x_mm", "bz_mt", "says" }, rows = { { x_mm = 1, bz_mt = 2, says = "a" }, { x_mm = 2, bz_mt = 1 } } }
local lumped = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf }
local n = ll.network{ from = lumped }
local measured = { name = "a", coil = lumped, from_bridge = 120, shows = "N", meter = "positive" }

local function read_dcr(q)
    return { dcr_ohm = q:winding()[1].dcr_ohm }
end
local function same()
    return p
end
local sound_readings = { dcr = 6000, inductance = { f = 1000, l = 2.4, r = 6100 }, resonance = { f = 4000, cable = 5e-10, input = 1e6 },
    gauss = { 900, probe = 1 }, compass = { "N", probe = 3 }, faces = { { part = "pole 1", side = "-z", shows = "S" } },
    levels = { 0 }, output = 0, screwdriver = { "+" }, hum = 0, tap = 0, temperature = 20 }

-- The nouns whose work is done in Lua: how each is called with fields, and fields that are fine.
local cases = {
    { noun = "diagnose", call = ll.diagnose, fine = { build = p, readings = { dcr = 6000 }, strings = s } },
    { noun = "balance", call = ll.balance, fine = { build = p, strings = s } },
    { noun = "fit", call = ll.fit, fine = { unknown = { { "turns", 5000, 9000 } }, build = same, read = read_dcr,
        measured = { dcr_ohm = 6000 } } },
    { noun = "spread", call = function(fields) return p:spread(fields) end, fine = { read = read_dcr, of = { "turns" } } },
    { noun = "blend", call = ll.blend, fine = { pickups = { p, p }, strings = { s } } },
    { noun = "instrument", call = ll.instrument, fine = { pickups = { measured }, strings = s, positions = { "a" }, controls = { input = 1e6 } } },
    { noun = "instrument_pickup", fine = measured, call = function(fields)
        return ll.instrument{ pickups = { fields, { name = "b", pickup = p, from_bridge = 60 } }, strings = s, positions = { "a" } }
    end },
    { noun = "instrument_position", fine = { from = { "a", "b" } }, call = function(fields)
        return ll.instrument{ pickups = { measured, { name = "b", coil = lumped, from_bridge = 60, shows = "S", meter = "positive" } },
            strings = s, positions = { fields } }
    end },
    { noun = "pluck", fine = { position = 100 }, call = function(fields)
        return ll.instrument{ pickups = { measured }, strings = s, positions = { "a" }, pluck = fields }
    end },
    { noun = "cover", call = ll.cover, fine = { size = { 40, 30, 18 }, at = { 0, 0, -8 }, thickness = 0.5, material = "brass" } },
    { noun = "plate", call = ll.plate, fine = { size = { 40, 30, 1 }, at = { 0, 0, -20 }, material = "steel 1010", holes = { { 0, 0, 3 } } } },
    { noun = "row", call = ll.row, fine = { count = 2, spacing = 10, part = rod } },
    { noun = "sweep", call = ll.sweep, fine = { vary = { { "x", { 1, 2 } } }, build = same, read = read_dcr } },
    { noun = "table", call = ll.table, fine = { columns = { "a" }, rows = { { a = 1 } } } },
    { noun = "plot", call = function(fields) return t:plot(fields) end, fine = { file = "wrong_calls.svg" } },
    { noun = "report", call = ll.report, fine = { file = "wrong_calls.txt" } },
}

local odd = { 5, -1, 0, 1e300, 0 / 0, "x", "", "open", "5", true, false, {}, { 1 }, { 1, 2, 3 }, { "a" }, { {} }, { { 1, 2 } }, { a = 1 },
    { f = "x" }, { x = {} }, { { "turns" } }, { { "turns", "a", "b" } }, { { "x", 5 } }, { { "x", { {} } } }, { f = 1000 }, { p }, { s },
    { probe = 1 }, { 900, probe = "x" }, { 900, probe = -1 }, function() end, p, s, t, rod, coil }

local tried, refused, wrong = 0, 0, {}
local here = "^[^\n]-wrong_calls%.lua:%d+: "
local function try(what, f, ...)
    tried = tried + 1
    local fine, message = pcall(f, ...)
    if fine then
        return
    end
    refused = refused + 1
    message = tostring(message)
    if not string.find(message, here) or string.find(message, "lodeloom:", 1, true)
        or string.find(message, "is of another kind than is asked for", 1, true) or string.find(message, "attempt to", 1, true)
        or string.find(message, "bad argument", 1, true) then
        wrong[#wrong + 1] = what .. " -> " .. message
    end
end

local function said(value)
    return type(value) == "table" and "{...}" or tostring(value)
end

local function with(fields, name, value)
    local copy = {}
    for key, own in pairs(fields) do
        copy[key] = own
    end
    copy[name] = value
    return copy
end

for _, case in ipairs(cases) do
    for _, field in ipairs(ll.fields(case.noun)) do
        for k, value in ipairs(odd) do
            try(case.noun .. "." .. field.field .. " = odd " .. k .. " " .. said(value), case.call, with(case.fine, field.field, value))
        end
    end
    for k, value in ipairs(odd) do
        try(case.noun .. " of odd " .. k .. " " .. said(value), case.call, value)
    end
    try(case.noun .. " of nothing", case.call)
end
for name, fine in pairs(sound_readings) do
    for k, value in ipairs(odd) do
        try("readings." .. name .. " = odd " .. k .. " " .. said(value), ll.diagnose,
            { build = p, strings = s, readings = with({}, name, value) })
        if type(fine) == "table" then
            for key in pairs(fine) do
                try("readings." .. name .. "." .. key .. " = odd " .. k .. " " .. said(value), ll.diagnose,
                    { build = p, strings = s, readings = { [name] = with(fine, key, value) } })
            end
        end
    end
end

-- Functions and methods with arguments of every wrong kind.
local calls = { inch = ll.inch, thou = ll.thou, gauss = ll.gauss, awg = ll.awg, range = ll.range, log_range = ll.log_range,
    material = ll.material, materials = ll.materials, fields = ll.fields, words = ll.words, strings = ll.strings, wire = ll.wire,
    help = function(v) return ll.help(v or "coil") end }
for _, name in ipairs{ "column", "add", "note", "titled", "as", "columns", "notes" } do
    calls["t:" .. name] = function(v) return t[name](t, v) end
    calls["t." .. name] = function(v) return t[name](v) end
end
for _, name in ipairs{ "field", "section", "poles", "winding", "impedance", "sensitivity", "hum", "screwdriver", "pull", "output",
    "linkage", "crosstalk", "transfer", "microphony", "operating", "with", "spread" } do
    calls["p:" .. name] = function(v) return p[name](p, v) end
    calls["p." .. name] = function(v) return p[name](v) end
end
for _, name in ipairs{ "response", "peak", "noise", "with" } do
    calls["n:" .. name] = function(v) return n[name](n, v) end
end
for name, call in pairs(calls) do
    for k, value in ipairs(odd) do
        try(name .. " of odd " .. k .. " " .. said(value), call, value)
    end
end
for k, value in ipairs(odd) do
    try("t[odd " .. k .. "] " .. said(value), function() return t[value] end)
    try("t[1][odd " .. k .. "] " .. said(value), function() return t[1][value] end)
    try("p[odd " .. k .. "] " .. said(value), function() return p[value] end)
    try("ll[odd " .. k .. "] " .. said(value), function() return ll[value] end)
    try("t[odd] = " .. said(value), function() t[value] = 1 end)
end

assert(tried > 3000 and refused > 2000, tried .. " tried, " .. refused .. " refused")
table.sort(wrong)
assert(#wrong == 0, #wrong .. " of " .. refused .. " are not answered as they should be:\n" .. table.concat(wrong, "\n", 1, math.min(#wrong, 40)))
