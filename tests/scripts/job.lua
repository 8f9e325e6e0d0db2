-- A job that grows line by line; what each line prints is compared with what shorter scripts print by job_grows.lua.
local rods = ll.row{ count = 2, spacing = 10.4, part = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 },
    material = ll.magnet{ remanence = 1000, recoil = 1 }, north = "+z" } }
local coil = ll.coil{ turns = 8000, wire = ll.awg(42), opening = { 16, 6 }, build = 4, height = 10, at = { 0, 0, -8.5 } }
local build = ll.pickup{ parts = { rods }, coils = { coil } }
local dcr, gauss = math.floor(build:winding().dcr_ohm), math.floor(build:poles{ standoff = 1 }[1].bz_gauss)
local signs = { positive = "+", negative = "-", still = "nothing" }
local job = ll.job{ build = build, title = "Lead pickup, tram band", date = "a Monday", about = { "Weak since it fell." } }
job:read{ dcr = dcr, temperature = 20 }
job:read{ gauss = { gauss, -gauss } }
local before = job.diagnosis
assert(string.find(before:says(), "^Found: magnet 'pole 2' is upside down") and string.find(before:says(), "%d %%%.$"), before:says())
job:read{ output = "softer", faces = { { part = "pole 1", side = "-z", shows = "S" } } }
job:read{ faces = { { part = "pole 2", side = "-z", shows = "N" } } }
assert(#job.diagnosis.readings == 6, job.diagnosis.readings:as("text"))
job:report{ file = "early.txt" }
job:did("Turned pole 2 over, north up.")
assert(job.after == nil)
job:read{ dcr = { dcr, dcr + 4 }, gauss = { gauss, gauss } }
job:read{ output = 0, hum = 0, tap = 0, wiggle = "steady", screwdriver = signs[build:screwdriver()[1].meter], inductance = { f = 1000, l = build:impedance{ f = 1000 }[1].l_h } }
assert(string.find(job.after:says(), "^Nothing wrong that these readings show; that it is sound has %d+ %%%.$"), job.after:says())

-- Before and after, and their difference: the field of pole 2 goes from minus to plus, which is twice as much.
local change = job.diagnosis:change(job.after)
assert(#change == 4, change:as("text"))
for _, row in ipairs(change) do
    if string.find(row.reading, "pole 2", 1, true) then
        assert(row.before == "-" .. gauss .. " G" and row.difference == "+" .. 2 * gauss .. " G", row.difference)
    elseif string.find(row.reading, "pole 1", 1, true) then
        assert(row.difference == "as before", row.difference)
    elseif string.find(row.reading, "output", 1, true) then
        assert(row.difference == "+8.0 dB" and row.sound_pickup == "+0.0 dB", row.difference)
    else
        assert(row.difference == string.format("+2 ohm (+%.1f %%)", 100 * 2 / dcr), row.difference)
    end
end
job:report{ file = "job.html", about = { "Owner: a tram driver." } }
job:report{ file = "job.txt" }

-- Slips.
local function refused(call, text)
    local fine, message = pcall(call)
    assert(not fine and string.find(message, text, 1, true), message)
end
refused(function() job:read{} end, "job: read: no reading is in it")
refused(function() job:read{ dcrr = 5 } end, "did you mean 'dcr'?")
refused(function() job:read{ hum = "loudish" } end, "'hum' must be")
job:read{ hum = 0 } -- what was refused is not kept
refused(function() job:did{} end, "a sentence was expected")
refused(function() job.read{ dcr = 5 } end, "write job:read{...}, with a colon")
refused(function() job:report() end, 'job:report{ file = "job.html" }')
refused(function() job.dcr = 5 end, "read and did alone")
refused(function() return job.reading end, "a job has no 'reading'")
refused(function() ll.job{ title = "x" } end, "'build'")
refused(function() ll.report{ file = "x.txt", after = job.after } end, "'after' goes with 'diagnosis'")
refused(function() before:change(5) end, "what ll.diagnose gave")
