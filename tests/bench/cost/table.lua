-- What each kind of work costs: processor seconds of one thread and memory, whole program. Nothing is judged but by the columns.
-- SPDX-License-Identifier: GPL-3.0-or-later
--
--   lua5.4 tests/bench/cost/table.lua PROGRAM [BEFORE [PROTOTYPES [WORD]]]
--
-- in the top folder. BEFORE is the program of another commit: then `ratio` is its time over PROGRAM's, the two timed by turns, the
-- least of three runs each. PROTOTYPES is a folder of other programs for the same work, `-` for none. With WORD only rows that have it.
-- Needs bash, and Debian's `time` for the memory.
local program, before, prototypes, word = ...
if not program then
    io.stderr:write("table.lua: the program is missing: lua5.4 table.lua PROGRAM [BEFORE [PROTOTYPES [WORD]]]\n")
    os.exit(2)
end
local RUNS = 3

-- must: seconds that a row may take. less: the same work but for `rows` rows fewer, taken off. other: a prototype and its arguments.
local rows = {
    { "six AlNiCo rods, eight fields", "tests/bench/cost/rods.lua", must = 0.15,
        other = "revolved/pipeline p=2 M=2 layers=2" },
    { "six staggered rods, six strings", "tests/bench/cost/rods.lua strings=1", must = 1 },
    { "six steel rods, two bars, six strings: a row of heights", "tests/bench/cost/heights.lua rows=4", must = 0.3,
        less = "tests/bench/cost/heights.lua rows=1", rows = 3 },
    { "two-bar script", "scripts/two-bar-quarter-turns.lua", must = 2 },
    { "lap steel blade script", "scripts/lap-steel-blade.lua", must = 2.5, other = "blocks/lapsteel p=2" },
    { "leak behind a steel plate", "tests/bench/cost/plate.lua", must = 0.4, other = "blocks/plate p=2" },
    { "six steel rods, two AlNiCo bars at 0.3 mm", "tests/bench/cost/bars.lua", must = 1.2,
        other = "blocks/bars kind=1 p=2 pr=2 M=2" },
    { "string distance script", "scripts/string-distance.lua", must = 1 },
    { "magnet check script", "scripts/magnet-check.lua", must = 0.6 },
    { "bench session script", "scripts/bench-session.lua", must = 3 },
    { "pole height script", "scripts/pole-height-and-output.lua" },
    { "closest gap script", "scripts/closest-gap.lua" },
    { "first diagnosis, two coils, 12 poles", "tests/bench/cost/diagnosis.lua", must = 1 },
    { "first diagnosis, 36 poles, nine bars", "tests/bench/cost/diagnosis.lua coils=3", must = 8 },
    { "growth: 1 rod", "tests/bench/cost/rods.lua count=1" },
    { "growth: 6 rods", "tests/bench/cost/rods.lua count=6" },
    { "growth: 24 rods", "tests/bench/cost/rods.lua count=24" },
    { "growth: 96 rods", "tests/bench/cost/rods.lua count=96" },
    { "start", "tests/bench/cost/nothing.lua", must = 0.005 },
}

-- Processor seconds and megabytes of one run; none of one that failed, which would look quick.
local function run(command)
    local timed = "OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 command time -f 'cost %U %S %M' " .. command .. " 2>&1 >/dev/null"
    local pipe = assert(io.popen("bash -c \"" .. timed .. "\""))
    local user, system, kilobytes = pipe:read("a"):match("cost (%S+) (%S+) (%S+)")
    if pipe:close() and user then
        return tonumber(user) + tonumber(system), tonumber(kilobytes) / 1000
    end
end

-- The least of several runs of two commands by turns; the second may be nil.
local function least(first, second)
    local a, b, mb = math.huge, math.huge, 0
    for _ = 1, RUNS do
        local seconds, memory = run(first)
        a, mb = math.min(a, seconds or math.huge), memory or mb
        b = second and math.min(b, run(second) or math.huge) or b
    end
    return a, mb, b
end

local function lodeloom(path, script)
    return path .. " run --quiet --threads 1 " .. script
end

local function cost(row)
    local seconds, mb, old = least(lodeloom(program, row[2]), before and lodeloom(before, row[2]))
    if row.less then
        local part, _, old_part = least(lodeloom(program, row.less), before and lodeloom(before, row.less))
        seconds, old = (seconds - part) / row.rows, (old - old_part) / row.rows
    end
    return seconds, mb, old
end

local function figure(form, value, known)
    return known and value < math.huge and form:format(value) or "-"
end

print(("%-56s %8s %6s %8s %7s %9s %7s"):format("work", "s", "must", "before", "ratio", "prototype", "MB"))
for _, row in ipairs(rows) do
    if not word or row[1]:find(word, 1, true) then
        local seconds, mb, old = cost(row)
        local has_other = prototypes and prototypes ~= "-" and row.other
        local other = has_other and least(prototypes .. "/" .. row.other) or math.huge
        print(("%-56s %8.3f %6s %8s %7s %9s %7.0f"):format(row[1], seconds, row.must or "-", figure("%.3f", old, before),
            figure("%.2f", old / seconds, before), figure("%.3f", other, has_other), mb))
        io.stdout:flush()
    end
end
