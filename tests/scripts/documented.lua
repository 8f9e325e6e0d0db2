-- What docs/language.md must say: the fields of a noun, the columns of every reading, the names of the module.
-- given: list=nouns, list=names, list=columns or noun=coil.
local function say(list)
    print(table.concat(list, "\n"))
end

-- A pickup that needs no mesh, since only the names of its columns are asked for.
local function results()
    local rod = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, -8.5 },
        material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" }
    local wire = ll.awg(42)
    local p = ll.pickup{ parts = { rod }, coils = { ll.coil{ turns = 8000, opening = { 6, 6 }, build = 3, height = 10,
        at = { 0, 0, -8.5 }, wire = wire } } }
    local s = ll.string{ note = "G3", gauge = 0.4, x = 0, gap = 3 }
    local n = ll.network{ from = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf } }
    return {
        { "p:field(points)", p:field{ { 0, 0, 1 } } },
        { "p:section{...}", p:section{ part = "pole 1", at = -5 } },
        { "p:poles{...}", p:poles{} },
        { "p:winding{...}", p:winding{} },
        { "p:impedance{...}", p:impedance{ f = 1000 } },
        { "p:sensitivity{...}", p:sensitivity{ strings = s } },
        { "p:linkage{...}", p:linkage{ string = s, at = { 0, 3 } } },
        { "n:response{...}", n:response{ f = 1000 } },
        { "n:peak()", n:peak() },
        { "n:noise{...}", n:noise{} },
        { "wire:figures()", wire:figures() },
        { "material:figures()", ll.material("brass"):figures() },
        { "ll.materials()", ll.materials() },
    }
end

if given.list == "nouns" then
    say(ll.fields():column("noun"))
elseif given.list == "names" then
    local names = {}
    for name in pairs(ll) do
        names[#names + 1] = "ll." .. name
    end
    say(names)
elseif given.list == "columns" then
    local t = ll.table{ columns = { "call", "columns of its table" } }
    for _, result in ipairs(results()) do
        t:add{ call = "`" .. result[1] .. "`",
            ["columns of its table"] = "`" .. table.concat(result[2]:columns(), " ") .. "`" }
    end
    t:print()
else
    print((ll.fields(given.noun):as("markdown"):gsub("^.-\n\n", "")))
end
