-- run.lua - makes the sources wrong on purpose, one line at a time, and tells which test notices. In the sources' folder:
--     lua5.4 tests/mutants/run.lua                 all mutants without a result yet, then the table of all
--     lua5.4 tests/mutants/run.lua --seconds 480   begins none after 480 seconds; the next call goes on
--     lua5.4 tests/mutants/run.lua --room          asks only the tests that the table names, which is quick
--     lua5.4 tests/mutants/run.lua 12 34           these, whether or not they have one
--     lua5.4 tests/mutants/run.lua --check         only whether every old text stands in the sources exactly once
--     lua5.4 tests/mutants/run.lua --table         only the table
-- It works on a copy of the tracked files in build/mutants; results lie there in results.txt. A test that fails without
-- any mutant catches none. README.md tells how to read the table.
-- SPDX-License-Identifier: GPL-3.0-or-later
local WORK = "build/mutants"
local TREE, BUILD, RESULTS, LOCK = WORK .. "/tree", WORK .. "/build", WORK .. "/results.txt", WORK .. "/lock"
local LEAST_IN_A_ROOM = 5
local MOST_CPU_SECONDS, MOST_SECONDS = 240, 1800 -- of one test, and of all tests of a mutant: some never end
local ROOM_MISSED = "untried: missed by its room"
local gsub = string.gsub
local folder = arg[0]:match("^(.*)/[^/]*$") or "."
local root = folder .. "/../.."

local function fail(...)
    io.stderr:write("mutants: ", string.format(...), "\n")
    os.exit(1)
end

local function run(...)
    return os.execute(string.format(...)) == true
end

local function lines_of(command)
    local list, pipe = {}, io.popen(command)
    for line in pipe:lines() do
        list[#list + 1] = line
    end
    pipe:close()
    return list
end

local function read(path)
    local file = io.open(path, "rb")
    local text = file and file:read("a")
    return text, file and file:close()
end

local function write(path, text)
    local file = assert(io.open(path, "wb"))
    assert(file:write(text))
    assert(file:close())
end

-- ---- the table ----

-- All mutants by their order. `likely` are the tests that are asked before the room's: the one that noticed it, as a rule.
local function load_mutants()
    local list, seen = {}, {}
    for _, room in ipairs(dofile(folder .. "/table.lua")) do
        for _, row in ipairs(room.mutants) do
            local mutant = { number = row[1], what = row[2], old = row[3], new = row[4], likely = row[5] or "",
                room = room.room, tests = room.tests, equivalent = row.equivalent, survives = row.survives }
            if seen[mutant.number] or mutant.old == mutant.new then
                fail("number %d is there twice, or changes nothing", mutant.number)
            end
            seen[mutant.number] = true
            list[#list + 1] = mutant
        end
    end
    return list
end

local function count_in(text, wanted)
    local count, at = 0, 1
    while true do
        local first, last = text:find(wanted, at, true)
        if not first then
            return count
        end
        count, at = count + 1, last + 1
    end
end

local function complain(...)
    io.stderr:write("mutants: ", string.format(...), "\n")
    return false
end

-- The sources by their paths, and the rooms: the folders that hold some.
local function load_sources()
    local sources, rooms = {}, {}
    for _, path in ipairs(lines_of("cd " .. root .. " && find engine bindings -name '*.[ch]' -o -name '*.lua'")) do
        sources[path] = read(root .. "/" .. path)
        if not path:find("%.h$") then
            rooms[path:match("^(.*)/")] = 0
        end
    end
    return sources, rooms
end

-- Finds where each old text stands; false when one stands nowhere, twice or in another room, or when a room has too few.
local function find_places(mutants)
    local fine, sources, rooms = true, load_sources()
    for _, mutant in ipairs(mutants) do
        local count = 0
        for path, text in pairs(sources) do
            local here = count_in(text, mutant.old)
            count, mutant.path = count + here, here > 0 and path or mutant.path
        end
        if count ~= 1 then
            fine = complain("%d, %s: its old text stands %d times in the sources, not once: %s", mutant.number, mutant.what, count, mutant.old)
        elseif mutant.path:match("^(.*)/") ~= mutant.room then
            fine = complain("%d, %s: its old text stands in %s, not in %s", mutant.number, mutant.what, mutant.path, mutant.room)
        else
            rooms[mutant.room] = rooms[mutant.room] + 1
        end
    end
    for room, count in pairs(rooms) do
        fine = count >= LEAST_IN_A_ROOM and fine or complain("%s has %d, and should have %d", room, count, LEAST_IN_A_ROOM)
    end
    return fine
end

-- ---- results ----

-- A line for each mutant and for each test that caught one: its number or name, what came out, and the mutant's texts, for a
-- result counts as long as they are the same.
local function key_of(mutant)
    return (gsub(mutant.old .. "\0" .. mutant.new, "%c", " "))
end

local function load_results()
    local results = {}
    for line in (read(RESULTS) or ""):gmatch("[^\n]+") do
        local name, verdict, key = line:match("^([^\t]*)\t([^\t]*)\t(.*)$")
        results[tonumber(name) or name] = { verdict = verdict, key = key }
    end
    return results
end

local function keep(results, name, verdict, key)
    local file = assert(io.open(RESULTS, "a"))
    file:write(("%s\t%s\t%s\n"):format(name, verdict, key))
    file:close()
    results[name] = { verdict = verdict, key = key }
end

local function result_of(results, mutant)
    local known = results[mutant.number]
    return known and known.key == key_of(mutant) and known.verdict or nil
end

-- ---- the copy ----

-- The tracked files as they are now; only what differs is touched, so that little is built anew.
local function copy_sources()
    local tracked = {}
    for _, path in ipairs(lines_of("git -C " .. root .. " ls-files")) do
        tracked[path] = true
        local text = read(root .. "/" .. path)
        if text and text ~= read(TREE .. "/" .. path) then
            run("mkdir -p '%s/%s' && cp '%s/%s' '%s/%s'", TREE, path:match("^(.*/)") or "", root, path, TREE, path)
        end
    end
    for _, path in ipairs(lines_of("cd " .. TREE .. " && find . -type f -printf '%P\\n'")) do
        if not tracked[path] or not read(root .. "/" .. path) then
            os.remove(TREE .. "/" .. path)
        end
    end
end

-- A shared library: the tests need not be linked anew for each mutant.
local function configure()
    local ccache = run("command -v ccache > /dev/null") and "-DCMAKE_C_COMPILER_LAUNCHER=ccache" or ""
    return run("cmake -S %s -B %s -G Ninja -DCMAKE_BUILD_TYPE=Release -DBUILD_SHARED_LIBS=ON -DLL_WERROR=OFF "
        .. "-DCMAKE_C_FLAGS=-w -DCMAKE_EXE_LINKER_FLAGS=-Wl,--copy-dt-needed-entries "
        .. "-DCMAKE_LINK_DEPENDS_NO_SHARED=ON %s > %s/configure.log 2>&1", TREE, BUILD, ccache, WORK)
end

-- ---- trying ----

-- Runs ctest on the copy, two tests at a time; gives the first test that failed, "time" when they do not come to an end, or nil.
local function first_failure(choice)
    local log = WORK .. "/ctest.log"
    if run("ulimit -t %d; OMP_WAIT_POLICY=passive timeout %d ctest -j2 --test-dir %s --stop-on-failure %s > %s 2>&1",
        MOST_CPU_SECONDS, MOST_SECONDS, BUILD, choice, log) then
        return nil
    end
    return read(log):match("%d+ %- (%S+) %(") or "time"
end

local function build()
    return run("nice ninja -C %s > %s/build.log 2>&1", BUILD, WORK)
end

-- Whether a test passes without any mutant, from results.txt or, at first, by trying.
local function is_sound(results, test)
    if not results[test] then
        local fine = build() and not first_failure("-R '^" .. test .. "$'")
        keep(results, test, fine and "sound" or "fails by itself", "")
    end
    return results[test].verdict == "sound"
end

-- Names as a pattern of ctest.
local function pattern_of(names)
    return "^(" .. gsub(names, " ", "|") .. ")$"
end

-- The first test that fails: of the likely ones, then of the room's, then of the others but for those at other levels of kernels, and
-- at last of the shared scripts, which take longest.
local function first_noticed(mutant, not_asked, room_only)
    local asked = not_asked
    for _, names in ipairs{ mutant.likely, mutant.tests } do
        local test = names ~= "" and first_failure(("-R '%s' -E '%s'"):format(pattern_of(names), pattern_of(asked)))
        if test then
            return test
        end
        asked = asked .. " " .. names
    end
    if room_only then
        return nil
    end
    return first_failure(("-E '%s|^script_|^base_|^v3_'"):format(pattern_of(asked)))
        or first_failure(("-R ^script_ -E '%s'"):format(pattern_of(asked)))
end

local function tests_that_fail_anyway(results)
    local names = { "mutants_match" }
    for name, result in pairs(results) do
        names[#names + 1] = result.verdict == "fails by itself" and name or nil
    end
    return table.concat(names, " ")
end

local function try(results, mutant, room_only)
    local path = TREE .. "/" .. mutant.path
    local text = read(path)
    local first, last = text:find(mutant.old, 1, true)
    write(path, text:sub(1, first - 1) .. mutant.new .. text:sub(last + 1))
    local built = build()
    local test = built and first_noticed(mutant, tests_that_fail_anyway(results), room_only)
    write(path, text)
    if test and test ~= "time" and not is_sound(results, test) then
        return try(results, mutant, room_only)
    end
    return not built and "caught by the build" or test and "caught by " .. test
        or room_only and ROOM_MISSED or "survived"
end

-- ---- telling ----

-- What became of a mutant: caught, survived or untried; equivalent or survived as its row says, as long as no test says otherwise.
local function kind_of(mutant, results)
    local kind = (result_of(results, mutant) or "untried"):match("^%a+")
    return kind == "caught" and kind or mutant.equivalent and "equivalent" or mutant.survives and "survived" or kind
end

local KINDS = { "caught", "survived", "equivalent", "untried" }

local function print_counts(room, counts, all)
    local line = {}
    for i, kind in ipairs(KINDS) do
        line[i] = ("%10d"):format(counts[kind])
    end
    print(("%-26s %10d %s"):format(room, all, table.concat(line, " ")))
end

-- A line for each mutant, then the counts by room.
local function print_table(mutants, results)
    local rooms, by_room, total = {}, {}, { all = 0 }
    local function count(counts, kind)
        counts[kind], counts.all = (counts[kind] or 0) + 1, (counts.all or 0) + 1
    end
    for _, mutant in ipairs(mutants) do
        local kind = kind_of(mutant, results)
        local told = kind == "equivalent" and "equivalent: " .. mutant.equivalent or result_of(results, mutant) or "untried"
        told = told .. (kind ~= "caught" and mutant.survives and ": " .. mutant.survives or "")
        print(("%3d  %-24s %-34s %s"):format(mutant.number, mutant.room, told, mutant.what))
        if not by_room[mutant.room] then
            rooms[#rooms + 1], by_room[mutant.room] = mutant.room, {}
        end
        count(by_room[mutant.room], kind)
        count(total, kind)
    end
    print(("\n%-26s %10s %10s %10s %10s %10s"):format("room", "mutants", table.unpack(KINDS)))
    for _, kind in ipairs(KINDS) do
        total[kind] = total[kind] or 0
        for _, room in ipairs(rooms) do
            by_room[room][kind] = by_room[room][kind] or 0
        end
    end
    for _, room in ipairs(rooms) do
        print_counts(room, by_room[room], by_room[room].all)
    end
    print_counts("all", total, total.all)
    print(("\n%.1f %% of those that were tried and change anything were caught"):format(
        100 * total.caught / math.max(total.caught + total.survived, 1)))
    for name, result in pairs(results) do
        if result.verdict == "fails by itself" then
            print("not asked, since it fails without any mutant: " .. name)
        end
    end
end

local function read_arguments()
    local wanted, seconds, mode, room_only = {}, math.huge, "run", false
    local i = 1
    while arg[i] do
        if arg[i] == "--seconds" then
            i, seconds = i + 1, tonumber(arg[i + 1]) or fail("--seconds takes a number")
        elseif arg[i] == "--room" then
            room_only = true
        elseif arg[i] == "--check" or arg[i] == "--table" then
            mode = arg[i]:sub(3)
        else
            wanted[tonumber(arg[i]) or fail("'%s' is no mutant's number", arg[i])] = true
        end
        i = i + 1
    end
    return wanted, seconds, mode, room_only
end

local function main()
    local wanted, seconds, mode, room_only = read_arguments()
    local mutants, results = load_mutants(), load_results()
    if mode ~= "table" and not find_places(mutants) then
        fail("table.lua is stale")
    elseif mode == "run" then
        local begun, chosen = os.time(), next(wanted) ~= nil
        run("mkdir -p %s", TREE)
        if not run("for i in $(seq 300); do mkdir %s 2> /dev/null && exit; sleep 1; done; exit 1", LOCK) then
            fail("another run is at work; if none is, remove %s", LOCK)
        end
        copy_sources()
        if not configure() then
            os.remove(LOCK)
            fail("the copy cannot be configured: %s/configure.log", WORK)
        elseif not build() then
            os.remove(LOCK)
            fail("the copy cannot be built without any mutant: %s/build.log", WORK)
        end
        for _, mutant in ipairs(mutants) do
            local known = result_of(results, mutant)
            local open = not known or known == ROOM_MISSED and not room_only
            local due = chosen and wanted[mutant.number] or not chosen and open and not mutant.equivalent
            if due and os.time() - begun < seconds then
                keep(results, mutant.number, try(results, mutant, room_only), key_of(mutant))
                print(mutant.number, results[mutant.number].verdict)
                io.stdout:flush()
            end
        end
        os.remove(LOCK)
    end
    if mode ~= "check" then
        print_table(mutants, results)
    end
end

main()
