-- A repairer's session: from a few readings to the fault, the mend, levelled strings, and a page to hand over.
-- Quarrel Lane bench. Needs lodeloom 0.1.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- A pickup came in from the ferry band's rhythm guitar: thin and weak since somebody had it apart. It has two bar
-- magnets beside six screws. First it is described as it should be; then the readings go in, as they are taken, and
-- each time the job says what is wrong as far as they tell, and what to measure next. A session of your own grows by a
-- line with each reading and each thing that was done: run it again whenever you have added one.
--
-- With a page about the job, drawing and sounds in it:
--
--   lodeloom run --out . bench-session report=ferry-band.html
--
-- Other readings:  lodeloom run bench-session dcr=6450 output=-8

local dcr = given.dcr or 7180        -- ohm, at 22 degrees C
local output = given.output or -5    -- dB against its twin in the same guitar, the same chord strummed

-- As it should be. z = 0 is the top of the bobbin.
local screws = ll.row{ count = 6, spacing = 10.4, part = ll.screw{ thread = 3.4, length = 20,
    head = { diameter = 5.2, height = 2 }, top = 1.2, at = { 0, 0 }, material = "steel 1010" } }
local bridge_bar = ll.block{ name = "bridge bar", size = { 62, 9, 4 }, at = { 0, -7, -14 }, material = "ferrite C5",
    north = "+y" }
local neck_bar = bridge_bar:with{ name = "neck bar", at = { 0, 7, -14 }, north = "-y" }
local coil = ll.coil{ turns = 8600, wire = ll.awg(42), opening = { 58, 5.6 }, build = 7.5, height = 8,
    at = { 0, 0, -5 } }

local function pickup(name, bridge, neck)
    return ll.pickup{ name = name, parts = { screws, bridge, neck }, coils = { coil }, accuracy = 3 }
end
local as_it_should_be = pickup("as it should be", bridge_bar, neck_bar)

-- Its strings, a common light set, 4.5 mm over the bobbin.
local strings = {}
for i, s in ipairs{ { "E2", 1.17, true }, { "A2", 0.91, true }, { "D3", 0.66, true }, { "G3", 0.43, false },
    { "B3", 0.33, false }, { "E4", 0.25, false } } do
    strings[i] = ll.string{ note = s[1], gauge = s[2], wound = s[3],
        wrap = s[3] and "nickel-plated steel" or nil, x = (i - 3.5) * 10.4, z = 4.5 + s[2] / 2 }
end

-- Is the ohm meter's reading within what the wire allows?
as_it_should_be:spread{
    of = { "wire", "turns", "winding" }, measured = { dcr_ohm = dcr },
    read = function(p)
        return { dcr_ohm = p:winding{ temperature = 22 }[1].dcr_ohm }
    end,
}:titled("The coil, by the ohm meter"):print()

-- What came in, and the first readings: ohm meter, compass held 3 mm over each screw, and how loud it is beside its twin.
local job = ll.job{ build = as_it_should_be, strings = strings, title = "Bridge pickup, ferry band",
    date = given.date or "a Tuesday in autumn",
    about = { "Complaint: thin and weak since it was apart.", "Owner: the ferry band, rhythm guitar." } }
local first = job:read{ dcr = dcr, temperature = 22, compass = { "N", "N", "N", "N", "N", "N" }, output = output }
first.faults:titled("After ohm meter, compass and a strum"):print()
first.next:print()
first.meanings:print()

-- The compass at the bars' own faces, underneath and outside.
job:read{ faces = {
    { part = "bridge bar", side = "-z", shows = "weak" }, { part = "bridge bar", side = "-y", shows = "S" },
    { part = "neck bar", side = "-z", shows = "S" }, { part = "neck bar", side = "+y", shows = "N" },
} }
job.diagnosis:print()

-- The neck bar stands on edge, north up: that is what it was built like, and this is the mend.
local before = pickup("before", bridge_bar, neck_bar:turned("x", -90))
local after = pickup("after", bridge_bar, neck_bar)
local was, is = before:poles{ standoff = 1 }, after:poles{ standoff = 1 }
local proof = ll.table{ notes = { is:mesh_error() }, title = "Gauss meter 1 mm over the screws",
    columns = { "screw", "before_gauss", "after_gauss" } }
for i, row in ipairs(is) do
    proof:add{ screw = row.pole, before_gauss = was[i].bz_gauss, after_gauss = row.bz_gauss }
end
proof:print()

-- The screws set for this set of strings.
local settings, set_up = ll.balance{ build = after, strings = strings, range = { -3, 2.5 }, least_gap = 1.5 }
settings:print()

-- What was done, and the same readings once more.
job:did("Turned the neck bar magnet back by a quarter, north face to the screws.")
job:did("Set the screws for equal strings.")
job:read{ dcr = dcr, temperature = 22, compass = { "N", "N", "N", "N", "N", "N" }, output = "as loud as before" }

if given.report then
    job:report{ file = given.report, pickup = set_up, tables = { proof, settings },
        plots = { { table = proof, title = "Field over the screws" } },
        sounds = { { says = "before", pickup = before, strings = strings, strum = 0.08, seconds = 2 },
            { says = "after", pickup = set_up, strings = strings, strum = 0.08, seconds = 2 } } }
    print("The page about this job is " .. given.report .. ".")
end
