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
                tests = room.tests, equivalent = row.equivalent }
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

-- Where each old text stands; false when one of them stands nowhere or twice.
local function find_places(mutants)
    local fine, sources = true, {}
    for _, path in ipairs(lines_of("cd " .. root .. " && find engine bindings -name '*.[ch]' -o -name '*.lua'")) do
        sources[path] = read(root .. "/" .. path)
    end
    for _, mutant in ipairs(mutants) do
        local count = 0
        for path, text in pairs(sources) do
            local here = count_in(text, mutant.old)
            count, mutant.path = count + here, here > 0 and path or mutant.path
        end
        if count ~= 1 then
            fine = false
            io.stderr:write(("mutants: %d, %s: its old text stands %d times in the sources, not once: %s\n"):format(
                mutant.number, mutant.what, count, mutant.old))
        end
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

local function print_table(mutants, results)
    local counts = { caught = 0, survived = 0, untried = 0 }
    for _, mutant in ipairs(mutants) do
        local verdict = result_of(results, mutant) or "untried"
        local kind = verdict:match("^%a+")
        counts[kind] = counts[kind] + 1
        print(("%3d  %-10s %-32s %s"):format(mutant.number, mutant.room, verdict, mutant.what))
    end
    print(("\n%d mutants: %d caught, %d survived, %d untried"):format(#mutants, counts.caught, counts.survived, counts.untried))
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
        end
        for _, mutant in ipairs(mutants) do
            local known = result_of(results, mutant)
            local open = not known or known == ROOM_MISSED and not room_only
            local due = chosen and wanted[mutant.number] or not chosen and open
            if due and os.time() - begun < seconds then
                keep(results, mutant.number, try(results, mutant, room_only), key_of(mutant))
                print(mutant.number, results[mutant.number].verdict)
            end
        end
        os.remove(LOCK)
    end
    if mode ~= "check" then
        print_table(mutants, results)
    end
end

main()
