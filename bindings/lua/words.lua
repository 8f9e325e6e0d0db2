-- words.lua - every function and method: how it is called, what it gives, what it does. The manual's tables, `help` at
-- the prompt and the annotations for editors are made from this list and from the tables of fields.
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
    { "material", "figures()", "table", "its figures" },
    { "material", "b(h: number)", "number", "flux density in tesla at h in A/m" },

    -- Coils.
    { "ll", "coil{...}", "coil", "a winding with its place, its wire, its direction and what was measured on it" },
    { "ll", 'awg(gauge: number, build?: "single"|"heavy")', "wire", "copper wire of that gauge, single build when left out" },
    { "ll", "wire{...}", "wire", "copper wire by its gauge or by its bare diameter" },
    { "wire", "figures()", "table", "its diameters, and the resistance of a metre at 20 degrees C" },

    -- Strings.
    { "ll", "string{...}", "string", "a string over the pickup" },
    { "ll", "winding_plan{...}", "table", "what a bobbin holds of each wire, and what an ohm meter shows on the way" },
    { "ll", "string_set{...}", "list of string", "strings by the name of their set, such as \"10-46\"" },
    { "ll", "strings(list: table)", "list of string", "strings from a list of their fields" },
    { "string", "frequency()", "number", "pitch of the stopped string in hertz, equal temperament, A4 = 440 Hz" },

    -- The pickup and its readings.
    { "ll", "pickup{...}", "pickup", "parts and coils put together, checked at once, solved when first read" },
    { "pickup", "field(points: number[][])", "table", "flux density at each point {x, y, z} of a list, which may be named: points = {...}" },
    { "pickup", "section{...}", "table", "mean of Bz over a part's cross-section at a height" },
    { "pickup", "poles{...}", "table", "what a gauss meter reads over the middle of each pole" },
    { "pickup", "operating{...}", "table", "where on its curve each magnet works, means over its volume" },
    { "pickup", "winding{...}", "table", "what an ohm meter and an LCR bridge read, measured or computed" },
    { "pickup", "impedance{...}", "table", "resistance and inductance at each frequency, without own capacitance" },
    { "pickup", "sensitivity{...}", "table", "voltage for each string that moves at 1 m/s through its place of rest" },
    { "pickup", "transfer{...}", "table", "how far eddy currents in metal dull each string, over frequency" },
    { "pickup", "hum{...}", "table", "what it takes up from even and uneven fields far away, in three directions" },
    { "pickup", "screwdriver()", "table", "which way a meter moves when a blade is pulled off each pole, and what a compass shows" },
    { "pickup", "linkage{...}", "table", "what a string adds to the coil's flux linkage, for each place of its axis" },
    { "pickup", "map{...}", "nothing", "draws the field in a plane, with the parts that it cuts, into a file" },
    { "pickup", "draw{...}", "nothing", "draws it from above and from two sides, with dimensions, into a file" },
    { "pickup", "crosstalk{...}", "table", "the same for each coil alone, and how far it is below the loudest coil" },
    { "pickup", "pull{...}", "table", "how the magnets pull at each string: force, detuning, beats, and whether it warbles" },
    { "pickup", "output{...}", "table", "how loud each plucked string is: peak, rms, partials" },
    { "pickup", "listen{...}", "table", "plucked strings as a sound file; gives what it wrote" },
    { "pickup", "microphony{...}", "table", "voltage of loose turns that move in the magnets' field" },
    { "pickup", "spread{...}", "table", "how far sound pickups of this description scatter, and whether a reading is within" },
    { "pickup", "facts()", "table", "how large the solution was and what it took" },

    { "ll", "sound{...}", "table", "takes of one pickup or several in one sound file, such as before and after" },

    -- The bench.
    { "ll", "identify{...}", "table, table, table",
        "what a pickup without a drawing may be: builds; wire and turns; the reading to take next" },
    { "ll", "diagnose{...}", "diagnosis", "which faults explain the readings, and which reading to take next" },
    { "diagnosis", "print()", "nothing", "prints its tables" },
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
    { "ll", "blend{...}", "table", "pickups used together: phase, level, comb, hum, and which single change mends them" },
    { "network", "response{...}", "table", "gain and phase of the output against the EMF of one coil" },
    { "network", "peak()", "table", "the highest point of the response" },
    { "network", "noise{...}", "table", "thermal noise of all resistances at the output" },

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
    { "ll", "words(noun?: string)", "table", "what can be asked of a noun; without a noun, every function" },
    { "ll", "help(topic?: string)", "text", 'what is known of a word, such as "coil", "poles" or "coil.opening"' },
    { "ll", "annotations()", "text", "this module's names for editors, as `lodeloom annotations` prints them" },
}

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
