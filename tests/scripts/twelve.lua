-- A first script of each of a dozen kinds of builds, written with one wrong unit each. What comes out must be twelve.expected: a
-- mistake with its cure, or a remark under the first table. The same builds with the right unit are answered in silence.
local six = { count = 6, spacing = 10.4 }

local function row(part, name)
    return ll.row{ count = six.count, spacing = six.spacing, part = part, name = name }
end

local function coil(fields)
    local given = { turns = 7800, wire = ll.awg(42), opening = { 57, 5.2 }, build = 3.8, height = 11, at = { 0, 0, -8 } }
    for key, value in pairs(fields or {}) do
        given[key] = value
    end
    return ll.coil(given)
end

-- Nothing is to be solved on a mesh here.
local exact = ll.magnet{ remanence = 1200, recoil = 1 }

local function magnet(fields)
    return ll.rod{ diameter = fields.diameter or 4.8, length = fields.length or 17, at = { 0, 0, -8.5 }, material = exact,
        north = "+z" }
end

-- Each: the kind, what is written, that value wrong and right, and the build that uses it.
local builds = {
    { "single coil, rod magnets", "diameter in inches", 0.187, 4.75, function(x)
        return ll.pickup{ parts = { row(magnet{ diameter = x }) }, coils = { coil() } }:winding()
    end },
    { "single coil, bars and steel poles", "bar in inches", 1, 25.4, function(x)
        local size = { 2.5 * x, 0.5 * x, 0.125 * x }
        return ll.pickup{ parts = { ll.block{ size = size, at = { 0, 0, -16 }, material = exact, north = "+y" } } }
            :field{ { 0, 0, 5 } }
    end },
    { "two coils, bar, screws and studs", "dcr in kilohms", 3.9, 3900, function(x)
        local opening, at = { 57, 5.2 }, { 0, -9, -3 }
        return ll.pickup{ coils = { ll.coil{ turns = 5000, wire = ll.awg(42), opening = opening, build = 4, height = 6.5, at = at,
            dcr = x } } }:winding()
    end },
    { "two blades", "volume pot in kilohms", 500, 500e3, function(x)
        return ll.network{ from = ll.lumped{ r = 8200, l = 4.5, c = 120 * ll.pf }, volume = x }:peak()
    end },
    { "split bass", "gauge in thousandths of an inch", 45, ll.thou(45), function(x)
        return { ll.string{ note = "G2", gauge = x, wound = true, x = 28, gap = 3, scale = 864 } }
    end },
    { "lap steel, one blade", "inductance in millihenries", 3400, 3.4, function(x)
        return ll.pickup{ coils = { coil{ inductance = x } } }:winding()
    end },
    { "coil on its side", "wire by its diameter in mm", 0.063, 42, function(x)
        return ll.pickup{ coils = { coil{ wire = ll.awg(x), along = "+y", at = { 0, 0, -12 } } } }:winding()
    end },
    { "magnets of one's own", "remanence in tesla", 1.2, 1200, function(x)
        return { ll.rod{ diameter = 5, length = 17, at = { 0, 0, 0 }, material = ll.magnet{ remanence = x }, north = "+z" } }
    end },
    { "covered pickup", "sheet in thousandths of an inch", 20, ll.thou(20), function(x)
        return ll.cover{ size = { 70, 39, 16 }, at = { 0, 0, -6 }, thickness = x, material = "german silver" }
    end },
    { "single coil with its controls", "tone capacitor in microfarads", 0.047, 47 * ll.nf, function(x)
        return ll.network{ from = ll.lumped{ r = 6200, l = 2.4, c = 110 * ll.pf }, volume = 250e3, tone_pot = 250e3, tone_cap = x }
            :peak()
    end },
    { "soundhole pickup", "scale in inches", 25.4, ll.inch(25.4), function(x)
        return { ll.string{ note = "E4", gauge = 0.3, x = 27, gap = 4, scale = x } }
    end },
    { "repair with a meter and a bridge", "build of the winding in inches", 0.15, 3.8, function(x)
        return ll.pickup{ coils = { coil{ build = x } } }:winding()
    end },
    { "repair with a gauss meter", "readings in millitesla", 0.1, 1, function(x)
        local rod = ll.rod{ name = "pole 1", diameter = 4.8, length = 17, at = { 0, 0, -8.5 },
            material = ll.magnet{ remanence = 700, recoil = 1 }, north = "+z" }
        local p = ll.pickup{ parts = { rod }, coils = { coil() } }
        local sound = p:poles{ standoff = 1 }[1].bz_gauss
        return ll.diagnose{ build = p, readings = { gauss = { sound * x } } }.faults
    end },
}

local function answer(build, x)
    local fine, said = pcall(build, x)
    if not fine then
        return said
    end
    for _, note in ipairs(type(said) == "table" and getmetatable(said) == "table of results" and said:notes() or {}) do
        if string.find(note, "^odd: ") then
            return note
        end
    end
end

for i, case in ipairs(builds) do
    local kind, what, wrong, right, build = table.unpack(case, 1, 5)
    print(kind .. ", " .. what .. "\n    " .. (answer(build, wrong) or "nothing"))
    assert(answer(build, right) == nil, kind .. ": " .. tostring(answer(build, right)))
end
