-- job_grows.lua - a job's script runs at every length, says at each what it says at the end, and the same bytes when it runs again.
--
--   lua5.4 job_grows.lua PROGRAM SCRIPT FOLDER
--
-- SPDX-License-Identifier: GPL-3.0-or-later
local program, script, folder = table.unpack(arg)
local lines = {}
for line in io.lines(script) do
    lines[#lines + 1] = line
end
assert(os.execute("mkdir -p '" .. folder .. "'"))

local function contents(name)
    local file = assert(io.open(folder .. "/" .. name, "rb"))
    local bytes = file:read("a")
    file:close()
    return bytes
end

-- What the first n lines print.
local function said(n)
    local file = assert(io.open(folder .. "/grown.lua", "w"))
    file:write(table.concat(lines, "\n", 1, n), "\n")
    file:close()
    local fine = os.execute(string.format("'%s' run --quiet --out '%s' '%s/grown.lua' >'%s/said' 2>'%s/faults'", program, folder, folder,
        folder, folder))
    if not fine then
        error(n .. " lines: " .. contents("faults"))
    end
    return contents("said")
end

local whole = said(#lines)
local pages = { contents("job.html"), contents("job.txt"), contents("early.txt") }
assert(said(#lines) == whole, "run again, it says something else")
for k, name in ipairs{ "job.html", "job.txt", "early.txt" } do
    assert(contents(name) == pages[k], name .. " differs when it is written again")
end

-- Lengths at which a statement of the job ends.
local tried, longest = 0, ""
for n, line in ipairs(lines) do
    if line:match("^local job = ") or line:match("^job:") then
        local now = said(n)
        assert(#now >= #longest and whole:sub(1, #now) == now, n .. " lines say something else than the whole:\n" .. now)
        assert(not line:match(":read") and not line:match(":did") or #now > #longest, "line " .. n .. " says nothing")
        tried, longest = tried + 1, now
    end
end
assert(tried >= 8 and longest == whole)

-- The page that was written early is of a job under way, the last one of one that is done: cautions are those of its steps.
local function has(page, text, wanted)
    assert((page:find(text, 1, true) ~= nil) == wanted, (wanted and "lacks: " or "has: ") .. text)
end
has(pages[3], "Before and after", false)
has(pages[3], "What to measure next", true)
for _, page in ipairs{ pages[1], pages[2] } do
    has(page, "Before and after", true)
    has(page, "After the work: Nothing wrong", true)
    has(page, "What to measure next", false)
    has(page, "Magnets are brittle", true) -- a magnet was turned
    has(page, "Mains and amplifiers", true) -- it was listened to
    has(page, "Solder:", false)
    has(page, "Wax burns", false)
    has(page, "Fine wire", false)
end
