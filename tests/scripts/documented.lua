-- The tables of docs/language.md, which documented.cmake puts behind their markers: fields=coil, words=pickup,
-- list=columns; and what the manual must have: list=nouns, list=unsaid.
local function say(list)
    print(table.concat(list, "\n"))
end

-- A pickup that needs no mesh, since only the names of its columns are asked for.
local function results()
    local rod = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, -8.5 },
        material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" }
    local wire = ll.awg(42)
    local p = ll.pickup{ parts = { rod }, coils = { ll.coil{ turns = 8000, opening = { 6, 6 }, build = 5, height = 10,
        at = { 0, 0, -8.5 }, wire = wire } } }
    local s = ll.string{ note = "G3", gauge = 0.4, x = 0, gap = 3 }
    local n = ll.network{ from = ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf } }
    return {
        { "p:field(points)", p:field{ { 0, 0, 1 } } },
        { "p:section{...}", p:section{ part = "pole 1", at = -5 } },
        { "p:poles{...}", p:poles{} },
        { "p:operating{...}", p:operating{} },
        { "p:winding{...}", p:winding{} },
        { "p:impedance{...}", p:impedance{ f = 1000 } },
        { "p:sensitivity{...}", p:sensitivity{ strings = s } },
        { "p:transfer{...}", p:transfer{ strings = s, f = 1000 } },
        { "p:hum{...}", p:hum{} },
        { "p:screwdriver()", p:screwdriver() },
        { "p:linkage{...}", p:linkage{ string = s, at = { 0, 3 } } },
        { "p:crosstalk{...}", p:crosstalk{ strings = s } },
        { "p:pull{...}", p:pull{ strings = s } },
        { "p:output{...}", p:output{ strings = s, partials = 2 } },
        { "p:microphony{...}", p:microphony{ strings = s } },
        { "ll.blend{...}", ll.blend{ pickups = { p, p }, strings = s } },
        { "p:spread{...}", p:spread{ of = { "wire" }, read = function(q)
            return { dcr_ohm = q:winding()[1].dcr_ohm }
        end } },
        { "n:response{...}", n:response{ f = 1000 } },
        { "n:peak()", n:peak() },
        { "n:noise{...}", n:noise{} },
        { "wire:figures()", wire:figures() },
        { "material:figures()", ll.material("brass"):figures() },
        { "ll.materials()", ll.materials() },
    }
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
elseif given.list == "columns" then
    local t = ll.table{ columns = { "call", "columns of its table" } }
    for _, result in ipairs(results()) do
        t:add{ call = "`" .. result[1] .. "`",
            ["columns of its table"] = "`" .. table.concat(result[2]:columns(), " ") .. "`" }
    end
    show(t)
elseif given.list == "usual" then
    show((ll.usual()))
elseif given.words then
    show(words(given.words))
else
    show(ll.fields(given.fields))
end
