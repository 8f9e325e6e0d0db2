-- words.lua - every function and method: how it is called, what it gives, what it does. The manual's tables, `help` at
-- the prompt and the annotations for editors are made from this list and from the tables of fields. Readings that are made in C say
-- this of themselves and are added here.
--
-- A row: who has it, the call, what it gives, the meaning. A call that ends in {...} takes the fields of the noun of
-- its name. Parameters carry their type behind a colon; one that may be left out ends in a question mark.
-- SPDX-License-Identifier: GPL-3.0-or-later
local _, core = ...

core.words = {
    -- Parts and what they are made of.
    { "ll", "block{...}", "block", "a block, such as a bar magnet or a blade" },
    { "ll", "rod{...}", "rod", "a round bar, such as a pole or a rod magnet" },
    { "ll", "ring{...}", "ring", "a round bar with a hole" },
    { "ll", "screw{...}", "screw", "a screw standing upright, placed by the top of its head" },
    { "ll", "row{...}", "list of part", "equal parts in a row, one for each string" },
    { "ll", "plate{...}", "part or list", "a plate with clear holes for screws and poles" },
    { "ll", "cover{...}", "list of part", "a box of sheet metal, open below: five plates joined along their edges" },
    { "ll", "magnet{...}", "material", "a magnet material from its figures or its curve" },
    { "ll", "steel{...}", "material", "a soft magnetic material from its figures or its curve" },
    { "ll", "conductor{...}", "material", "a metal that is not magnetic, for covers and base plates" },
    { "ll", "material(name: string)", "material", "the listed material of that name" },
    { "ll", "materials(name?: string)", "table", "all listed materials, or one with its figures and source" },
    { "ll", "usual()", "table", "what is usual of the quantities that scripts describe, and which slip of a unit a number smells of" },
    { "block rod ring screw", "moved(x: number, y: number, z: number)", "same",
        "a copy that many millimetres away" },
    { "block rod ring screw", 'turned(axis: string, degrees: number)', "same",
        "a copy turned about its own centre, body and magnetisation together, after the turns that it has" },
    { "material", "b(h: number)", "number", "flux density in tesla at h in A/m" },

    -- Coils.
    { "ll", "coil{...}", "coil", "a winding with its place, its wire, its direction and what was measured on it" },
    { "ll", 'awg(gauge: number, build?: "single"|"heavy")', "wire", "copper wire of that gauge, single build when left out" },
    { "ll", "wire{...}", "wire", "copper wire by its gauge or by its bare diameter" },

    -- Strings.
    { "ll", "string{...}", "string", "a string over the pickup" },
    { "ll", "winding_plan{...}", "table", "what a bobbin holds of each wire, and what an ohm meter shows on the way" },
    { "ll", "string_set{...}", "list of string", "strings by the name of their set, such as \"10-46\"" },
    { "ll", "strings(list: table)", "list of string", "strings from a list of their fields" },
    { "string", "frequency()", "number", "pitch of the stopped string in hertz, equal temperament, A4 = 440 Hz" },

    -- The pickup and its readings.
    { "ll", "pickup{...}", "pickup", "parts and coils put together, checked at once, solved when first read" },
    { "pickup", "spread{...}", "table", "how far sound pickups of this description scatter, and whether a reading is within" },

    { "ll", "sound{...}", "table", "takes of one pickup or several in one sound file, such as before and after" },

    -- The bench.
    { "ll", "identify{...}", "table, table, table",
        "what a pickup without a drawing may be: builds; wire and turns; the reading to take next" },
    { "ll", "diagnose{...}", "diagnosis", "which faults explain the readings, and which reading to take next" },
    { "diagnosis", "print()", "nothing", "prints its tables" },
    { "diagnosis", "says()", "text", "what the readings say in one sentence" },
    { "diagnosis", "change(after)", "table", "readings beside those of another diagnosis, taken after the work, and their difference" },
    { "ll", "job{...}", "job", "a repair from intake to hand-over, its readings and steps as they come" },
    { "job", "read{...}", "diagnosis", "readings as they are taken; prints what they say so far and what to read next" },
    { "job", "did(what: string)", "nothing", "a step of the work; what is read from here on is of the pickup as it is then" },
    { "job", "report{...}", "nothing", "its page, with the fields of ll.report; file is needed" },
    { "ll", "balance{...}", "table", "pole heights that make the strings equally loud; second, the pickup set up so" },
    { "ll", "report{...}", "nothing", "one page about a job, to print or to hand over: HTML in one file, or plain text" },
    { "ll", "fit{...}", "table", "one or two unknowns of a build found from readings" },

    -- Recordings.
    { "ll", "test_signal{...}", "table", "writes the sweep that is played through a known resistor into a pickup" },
    { "ll", "draw_wiring{...}", "nothing", "draws how player, known resistor, pickup and recorder are joined" },
    { "ll", "recording{...}", "recording", "a sound file that was recorded at the bench" },
    { "recording", "channels()", "table", "level of each channel, and whether it clips" },
    { "recording", "measured_impedance{...}", "table", "impedance of the pickup that the test signal was played into" },
    { "ll", "find_coil{...}", "table, table, table",
        "the coil that fits an impedance; the curve with what is left over; what to hand on" },
    { "recording", "string_levels{...}", "table", "how loud each plucked string is" },
    { "recording", "string_partials{...}", "table", "pitch, decay, drift and beats of each plucked string's partials" },
    { "recording", "hum_lines{...}", "table", "what the mains leave where nothing sounds, against the strings" },
    { "recording", "knocks{...}", "table", "how loud knocks on the cover are, against the strings" },
    { "ll", "compare{...}", "table", "two tables side by side, such as before and after" },

    -- Circuit.
    { "ll", "lumped{...}", "lumped", "a coil as a meter reads it" },
    { "ll", "network{...}", "network", "pickups and lumped coils with pots, capacitors, cable and input" },
    { "ll", "instrument{...}", "table", "all positions of a switch: level, peak, hum, phase, and a word each" },
    { "ll", "blend{...}", "table", "pickups used together: phase, level, comb, hum, and which single change mends them" },

    { "block rod ring screw coil wire string pickup lumped network recording", "with{...}", "same",
        "a copy with these fields in place of its own" },

    -- Tables of results.
    { "ll", "table{...}", "table", "a table of a script's own" },
    { "ll", "read_table{...}", "table", "a table from a text file in the folder of --in, in any common dialect of CSV" },
    { "ll", "sweep{...}", "table", "builds and reads a pickup for every combination of some values" },
    { "table", "column(name: string)", "list of number", "all values of a column" },
    { "table", "columns()", "list of text", "the names of the columns" },
    { "table", "add(row: table)", "same", "adds a row of named values" },
    { "table", "note(text: string)", "same", "adds a remark below" },
    { "table", "notes()", "list of text", "the remarks below, the mesh error among them" },
    { "table", "mesh_error()", "text", "the remark on the mesh error, to be handed on" },
    { "table", "titled(title: string)", "same", "sets the title" },
    { "table", "print()", "nothing", "prints it in the format of --format" },
    { "table", "as(format: string)", "text", 'the same as a text: "text", "csv", "markdown", "json" or "html"' },
    { "table", "save(name: string)", "nothing",
        "writes it into the folder of --out; the ending .txt, .csv, .md or .json says how" },
    { "table", "plot{...}", "nothing", "draws columns as curves, points or stems into a file" },

    -- Helpers.
    { "ll", "inch(x: number)", "number", "millimetres from inches" },
    { "ll", "thou(x: number)", "number", "millimetres from thousandths of an inch" },
    { "ll", "gauss(x: number)", "number", "millitesla from gauss" },
    { "ll", "kohm", "number", "multiplier: 250 * ll.kohm" },
    { "ll", "nf", "number", "multiplier: 22 * ll.nf" },
    { "ll", "pf", "number", "multiplier: 110 * ll.pf" },
    { "ll", "range(a: number, b: number, step?: number)", "list of number",
        "the list a, a + step, ... up to b; step 1 when left out" },
    { "ll", "log_range(f1: number, f2: number, per_decade?: number)", "list of number",
        "frequencies from f1 to f2, both met; 10 to the decade when left out" },
    { "ll", "fields(noun?: string)", "table", "the fields of a noun; without a noun, the list of nouns" },
    { "ll", "columns(reading?: string)", "table", "the columns of a reading's table, with unit, meaning and what puts them off; of all without a name" },
    { "ll", "words(noun?: string)", "table", "what can be asked of a noun; without a noun, every function" },
    { "ll", "help(topic?: string)", "text", 'what is known of a word, such as "coil", "poles" or "coil.opening"' },
    { "ll", "annotations()", "text", "this module's names for editors, as `lodeloom annotations` prints them" },
}

-- The readings' words, in their order.
for _, reading in ipairs(core.readings) do
    core.words[#core.words + 1] = { reading.of, reading.call, reading.gives, reading.meaning }
end

-- "coil" of "coil{...}".
function core.name_of(call)
    return string.match(call, "^[%a_%d]+")
end

-- The call as people write it, without types: "awg(gauge, build)". Parameters that may be left out stand in brackets.
function core.plain_call(call)
    return (string.gsub(call, "(,? ?)([%a_0-9]+)(%??): [^,)]+", function(comma, name, optional)
        return optional == "" and comma .. name or "[" .. comma .. name .. "]"
    end))
end

-- True when the noun, or "ll", is among the owners of the word.
function core.owns(word, owner)
    return string.find(" " .. word[1] .. " ", " " .. owner .. " ", 1, true) ~= nil
end

function core.sorted_keys(t)
    local keys = {}
    for key in next, t do
        keys[#keys + 1] = key
    end
    table.sort(keys)
    return keys
end
