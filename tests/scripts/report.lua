-- A report with everything in it, from a pickup that needs no mesh; report.cmake looks at what came out.
local rod = ll.rod{ name = "pole 1", diameter = 5, length = 17, at = { 0, 0, -8.5 },
    material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" }
local p = ll.pickup{ name = "one pole", parts = { rod }, coils = { ll.coil{ turns = 8000, opening = { 6, 6 }, build = 3,
    height = 10, at = { 0, 0, -8.5 }, wire = ll.awg(42) } } }
local s = ll.string{ note = "G3", gauge = 0.4, x = 0, gap = 3 }
local d = ll.diagnose{ build = p, strings = s, readings = { dcr = "open" } }
assert(string.find(d.faults[1].fault, "is open", 1, true), d.faults[1].fault)

local levels = p:sensitivity{ strings = s }
for _, file in ipairs{ "job.html", "job.txt" } do
    ll.report{ file = file, title = "One pole <&> a coil", date = "some day", about = { 'says "hum"' }, pickup = p, strings = s,
        diagnosis = d, work = { "Found the break at the lead.", "The magnet was charged anew." }, tables = { p:poles(), levels },
        plots = { { table = p:impedance{ f = ll.log_range(100, 10000, 5) }, x = "f_hz", y = "l_h" } },
        sounds = { { says = "after", pickup = p, strings = s, seconds = 0.05 } } }
end

local function refused(fields, text)
    local fine, message = pcall(ll.report, fields)
    assert(not fine and string.find(message, text, 1, true), message)
end
refused({ file = "job.pdf" }, ".html or .txt")
refused({ file = "job.html", tables = { 5 } }, "list of tables")
refused({ file = "job.html", sounds = { { pickup = p } } }, "says")
refused({ file = "../job.html" }, "")
