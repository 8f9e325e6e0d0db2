-- Whatever is remarked under a reading's table goes where its values go: into sweeps with and without a file, tables of the script's
-- own, whatever reads a network again, and every format; and nowhere else.
local magnet = ll.rod{ name = "pole 1", diameter = 4.9, length = 17, at = { 0, 0, -8.5 }, north = "+z",
    material = ll.magnet{ remanence = 1000, recoil = 1 } }
local coil = ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, -8 }, wire = ll.awg(42) }
local odd_coil = coil:with{ dcr = 60 } -- this wire has thousands of ohms
local p = ll.pickup{ parts = { magnet }, coils = { coil } }
local odd = ll.pickup{ parts = { magnet }, coils = { odd_coil } }
local function wound(gap)
    return ll.string{ note = "E2", gauge = 1.1, wound = true, x = 0, gap = gap }
end
-- Steel in two halves that touch is meshed by tetrahedra, which do not reach everything that may be asked for.
local half = ll.block{ size = { 4, 5, 5 }, at = { 0, 0, 2.5 }, material = "steel 1018" }
local rough = ll.pickup{ accuracy = 0.05, parts = { half, half:with{ at = { 0, 0, -2.5 } }, magnet:with{ at = { 0, 0, -13.52 } } } }

local remarks = {
    { "^assumed: wound strings without", function(gap)
        return p:sensitivity{ strings = wound(gap or 2) }
    end },
    { "^odd: coil 2: .*measured resistance", function()
        return odd:winding()
    end },
    { "^WARNING: .*mesh error", function()
        return rough:field{ { 3.2, 0, -5 } }
    end },
}

local function has(notes, pattern)
    for _, note in ipairs(notes) do
        if string.find(note, pattern) then
            return true
        end
    end
    return false
end

local untouched = ll.table{ columns = { "a" }, rows = { { a = 1 } } }
for k, remark in ipairs(remarks) do
    local pattern, read = remark[1], remark[2]
    local function assert_told(t, way)
        assert(has(t:notes(), pattern), way .. ": " .. t:as("text"))
        for _, format in ipairs{ "text", "markdown", "csv", "json", "html" } do
            local text = string.gsub(t:as(format), "&quot;", "'")
            assert(string.find(text, string.match(pattern, "[%a ]+$")), way .. ", " .. format .. ": " .. text)
        end
    end
    local reading = read()
    assert_told(reading, "a reading")
    local values = {}
    for name, value in pairs(reading[1]) do
        values[name] = value
    end
    assert_told(ll.table{ columns = reading:columns(), rows = { values } }, "a table of values")
    assert_told(ll.table{ columns = reading:columns() }:add(reading[1]), "a table that takes a row")
    for _, file in ipairs{ false, "remarks" .. k .. ".csv" } do
        local build = function()
            return p
        end
        local whole = ll.sweep{ vary = { { "gap", { 2, 3 } } }, file = file or nil, build = build, read = function(_, v)
            return read(v.gap)
        end }
        assert_told(whole, "a sweep of tables")
        local name = reading:columns()[#reading:columns()]
        assert_told(ll.sweep{ vary = { { "gap", { 2, 3 } } }, file = file and "one-" .. file or nil, build = build,
            read = function(_, v)
                return { value = read(v.gap)[1][name] }
            end }, "a sweep of values")
    end
end
assert(#untouched:notes() == 0 and #ll.table{ columns = { "a" } }:notes() == 0)

-- A network keeps its coils, and what they may be off by.
local soft = ll.pickup{ coils = { coil }, parts = { magnet, ll.rod{ diameter = 4, length = 10, at = { 20, 0, -8 }, material = "steel 1018" } } }
local n = ll.network{ from = soft, cable = 500 * ll.pf }
for _, t in ipairs{ n:peak(), n:peak(), n:response{ f = 1000 }, n:noise() } do
    assert(has(t:notes(), "^mesh error: at most"), t:as("text"))
end
n = ll.network{ from = odd, cable = 500 * ll.pf }
for _, t in ipairs{ n:peak(), n:response{ f = 1000 }, n:noise() } do
    assert(has(t:notes(), "^odd: coil 2: "), t:as("text"))
end
