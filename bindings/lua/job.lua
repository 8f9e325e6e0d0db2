-- job.lua - ll.job: a repair from intake to hand-over as one script that grows line by line.
--
-- Readings go in as they are taken, and each time the job says what they tell so far and what to read next; what was done goes in
-- likewise. What was read before the first thing that was done is "before", what was read since the last one is "after". Each line says
-- what it has to say at once and only from what stood before it: a script that has grown says the same again and then goes on.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local type, concat = core.type, table.concat

local new_said = core.declares("job", "said", {
    { "what", "text", "none", "a step of the job" },
    { "says", "text", "model", "what it tells" },
})

local WORTH_A_MEND = 50 -- per cent: less likely than that nothing is touched

-- Of each job: its fields, what was read in this stage, what was done, diagnoses before and after.
local kept = core.setmetatable({}, { __mode = "k" })
local methods = {}
core.methods.job = methods
local metatable = { __metatable = "job" }

function metatable.__index(job, key)
    local of = kept[job]
    if key == "diagnosis" or key == "after" then
        return of[key]
    end
    return methods[key] or core.fail("a job has no '" .. core.tostring(key) .. "'; it has read, did, report, diagnosis and after")
end

function metatable.__newindex(_, key)
    core.fail("a job changes by read and did alone: '" .. core.tostring(key) .. "' cannot be set")
end

local function of_job(job, method)
    return kept[job] or core.fail("job: write job:" .. method .. ", with a colon")
end

local function say(title, rows)
    local t = new_said({ title = title })
    for _, row in ipairs(rows) do
        if row[2] and row[2] ~= "" then
            t:add({ what = row[1], says = row[2] })
        end
    end
    t:print()
end

-- ---- readings ----

local function is_list_of_tables(value)
    return type(value) == "table" and type(value[1]) == "table"
end

-- What was read by now, with more. What is read once more replaces what was read; lists of single readings, as of faces, grow. A
-- check goes on after a reading that there is none of: it is told once.
local function merged(now, more)
    local all = {}
    for _, row in ipairs(core.fields.readings) do
        local old, new = now[row.field], more[row.field]
        if is_list_of_tables(old) and is_list_of_tables(new) then
            old = { table.unpack(old) }
            new = table.move(new, 1, #new, #old + 1, old)
        end
        if new == nil then
            new = old
        end
        all[row.field] = new
    end
    return all
end

local function names_of(readings)
    return concat(core.sorted_keys(readings), ", ")
end

local function next_of(d)
    local row = d.next[1]
    return row and row.take .. (row.minutes and " (" .. string.format("%g", row.minutes) .. " min)" or "")
end

-- job:read{...}: readings as they are taken, in the words of ll.diagnose.
function methods.read(job, fields)
    local of = of_job(job, "read{...}")
    local more = core.read("readings", fields, "readings")
    if next(more) == nil then
        core.fail("job: read: no reading is in it; write job:read{ dcr = 7180 }")
    end
    local now = merged(of.now, more)
    local d = ll.diagnose({ build = of.build, strings = of.strings, circuit = of.circuit, minutes = of.minutes, readings = now })
    local worked = #of.work > 0
    of[worked and "after" or "diagnosis"], of.count, of.now = d, of.count + 1, now -- what was refused is not kept
    if core.run().check_mode then
        return d -- nothing was solved, there is nothing to say
    end
    local first = d.faults[1]
    say("Readings " .. core.integer(of.count), { { "read", names_of(more) }, { worked and "after the work" or "so far", d:says() },
        { "read next", next_of(d) }, { "or mend", first and first.probability_percent > WORTH_A_MEND and first.mend } })
    return d
end

-- ---- work ----

-- job:did("..."): what was done; what is read from here on is of the pickup as it is then.
function methods.did(job, text)
    local of = of_job(job, 'did("...")')
    if type(text) ~= "string" or text == "" then
        core.fail('job: did: a sentence was expected, as in job:did("Soldered the hot lead anew.")')
    end
    of.work[#of.work + 1], of.now, of.after = text, {}, nil
    say("Work " .. core.integer(#of.work), { { "done", text } })
end

-- ---- hand-over ----

-- job:report{ file = "job.html", ... }: its page, with whatever else ll.report takes.
function methods.report(job, fields)
    local of = of_job(job, "report{...}")
    local page = { title = of.title, date = of.date, about = of.about, diagnosis = of.diagnosis, after = of.diagnosis and of.after or nil,
        work = #of.work > 0 and of.work or nil, pickup = of.build, strings = of.strings }
    if type(fields) ~= "table" then
        core.fail('job: report: write job:report{ file = "job.html" }')
    end
    for key, value in next, fields do
        page[key] = value
    end
    ll.report(page)
end

-- In a check a step with a mistake is told, and the next one is looked at.
for name, method in next, methods do
    methods[name] = core.guard(method)
end

-- ll.job{ build = p, title = "...", about = {...} }
function ll.job(fields)
    local of = core.read("job", fields, "job")
    of.now, of.work, of.count = {}, {}, 0
    local job = core.setmetatable({}, metatable)
    kept[job] = of
    say(of.title or "Job", { { "date", of.date }, { "about", of.about and concat(core.list(of.about), " ") } })
    return job
end
