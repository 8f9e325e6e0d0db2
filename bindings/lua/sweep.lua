-- sweep.lua - builds and reads a pickup for every combination of some values.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local concat = table.concat
local type, tostring, error = core.type, core.tostring, core.error

local function check_axis(axis, i, seen)
    local shape = 'sweep: \'vary\' takes axes such as {"angle", {0, 90, 180}}'
    if type(axis) ~= "table" or type(axis[1]) ~= "string" or type(axis[2]) ~= "table" then
        core.fail(shape .. "; number " .. i .. " is not one")
    elseif #axis[2] == 0 then
        core.fail("sweep: the axis '" .. axis[1] .. "' has no values")
    elseif string.find(axis[1], "%c") then
        core.fail("sweep: the name of axis " .. i .. " must be a text on one line")
    elseif seen[axis[1]] then
        core.fail("sweep: the axis '" .. axis[1] .. "' is there twice")
    end
    seen[axis[1]] = true
    for k = 1, #axis[2] do
        local value = axis[2][k]
        local fault = core.cell_fault(value)
        if value == nil then
            core.fail("sweep: value " .. k .. " of the axis '" .. axis[1] .. "' is missing (nil)")
        elseif fault then
            core.fail("sweep: value " .. k .. " of the axis '" .. axis[1] .. "' is " .. fault
                .. "; vary a number and take what belongs to it from a list, as in places[v." .. axis[1] .. "]")
        end
    end
end

local function check_axes(vary)
    local seen, count = {}, 1
    if type(vary) ~= "table" or #vary == 0 then
        core.fail('sweep: \'vary\' is a list of axes, as in { {"angle", {0, 90, 180}} }')
    end
    for i, axis in ipairs(vary) do
        check_axis(axis, i, seen)
        count = count * #axis[2]
    end
    if count > core.most_points then
        core.fail("sweep: " .. count .. " combinations are more than " .. core.most_points)
    end
    return count
end

-- The values of combination i, counted from 0; the last axis runs fastest.
local function combination(vary, i)
    local values = {}
    for a = #vary, 1, -1 do
        local list = vary[a][2]
        values[vary[a][1]] = list[i % #list + 1]
        i = i // #list
    end
    return values
end

local function described(vary, values)
    local parts = {}
    for i, axis in ipairs(vary) do
        parts[i] = axis[1] .. " = " .. tostring(values[axis[1]])
    end
    return concat(parts, ", ")
end

-- What build and read get: asking for an axis that is not there is a slip.
local function guarded(vary, values)
    local names = {}
    for i, axis in ipairs(vary) do
        names[i] = axis[1]
    end
    return core.setmetatable(values, {
        __index = function(_, key)
            local near = core.nearest(tostring(key), names)
            core.fail("sweep: no axis '" .. tostring(key) .. "' is varied; "
                .. (near and "did you mean '" .. near .. "'?" or "there are " .. concat(names, ", ")))
        end,
        __metatable = "values of a sweep",
    })
end

-- Calls with the combination named in whatever goes wrong.
local function call(f, where, ...)
    local fine, result = core.xpcall(f, core.placed, ...)
    if fine then
        return result
    end
    if result == "not enough memory" then
        core.out_of_memory()
    elseif type(result) == "string" then
        result = result .. " (sweep: " .. where .. ")"
    end
    error(result, 0)
end

-- What read returned as a list of rows.
local function rows_of(result, where)
    if type(result) ~= "table" then
        core.fail("sweep: read returned " .. (result == nil and "nothing" or "a " .. type(result)) .. " at " .. where
            .. "; return fields, as in { bz_mt = ... }, or a table of results")
    end
    core.hand_on(result)
    if core.columns_of(result) and #result > 0 or core.rawget(result, 1) ~= nil then
        return result
    end
    return { result }
end

-- Names of a row without an order of its own, sorted: Lua keeps none.
local function sorted_names(row)
    local names = {}
    for name in next, row do
        if type(name) ~= "string" then
            core.fail("sweep: read must return named values, as in { bz_mt = ... }")
        end
        names[#names + 1] = name
    end
    table.sort(names)
    return names
end

local function check_value(name, value, where)
    local fault = core.cell_fault(value)
    if fault then
        core.fail("sweep: for '" .. name .. "' at " .. where .. " read returned " .. fault)
    end
    return type(value) == "userdata" and tostring(value) or value
end

-- The axes' values first; a row's own value of that name gives way.
local function record_of(sweep, values, row, where)
    local record = {}
    for _, name in ipairs(sweep.axes) do
        local value = values[name]
        record[#record + 1] = { name, type(value) == "number" and value or tostring(value) }
    end
    core.hand_on(row)
    for _, name in ipairs(core.columns_of(row) or sorted_names(row)) do
        if string.find(name, "%c") then
            core.fail("sweep: at " .. where .. " read returned a name that is no text on one line")
        elseif core.rawget(values, name) == nil then
            record[#record + 1] = { name, check_value(name, core.rawget(row, name), where) }
        end
    end
    return record
end

-- Builds and reads a combination: its records, as sweep_rows.lua has them.
local function read_point(sweep, values)
    local where = described(sweep.vary, values)
    local pickup = call(sweep.build, where, values)
    if pickup == nil then
        core.fail("sweep: build returned nothing at " .. where .. "; it ends with return and what it has built")
    end
    local records = {}
    for _, row in ipairs(rows_of(call(sweep.read, where, pickup, values), where)) do
        records[#records + 1] = record_of(sweep, values, row, where)
    end
    return records
end

-- What the point's values rest on; of the mesh error there is one line for all points.
local function remarks_of_point()
    local remarks = {}
    for _, text in ipairs(core.take_handed()) do
        remarks[#remarks + 1] = not string.find(text, "mesh error", 1, true) and text or nil
    end
    return remarks
end

-- Point i with the worst mesh error of its readings and with their remarks, which count for what is around the sweep, too.
local function point(sweep, i)
    local scope <close> = core.gather()
    local handed = core.take_handed()
    local _ <close> = core.chance_of(i)
    local records = read_point(sweep, guarded(sweep.vary, combination(sweep.vary, i)))
    local origin = core.joined(scope)
    records.error, records.missed = origin.error, origin.missed
    records.remarks = remarks_of_point()
    core.add_handed(handed)
    core.add_handed(records.remarks)
    return records
end

-- What is finished, for the case that the script ends before the table is printed, saved or written otherwise.
local function keep(records, columns)
    for _, record in ipairs(records) do
        local names, cells = {}, {}
        for c, cell in ipairs(record) do
            names[c] = cell[1]
            cells[c] = cell[2] == nil and "" or type(cell[2]) == "number" and string.format("%.7g", cell[2])
                or tostring(cell[2])
        end
        local head = core.csv_line(names)
        core.keep((head == columns and "" or head) .. core.csv_line(cells))
        columns = head
    end
    return columns
end

-- How many sweeps stand around this place; the rows of the outermost one are kept.
local depth = 0
local shallower = { __close = function()
    depth = depth - 1
end }

local function one_deeper()
    depth = depth + 1
    return core.setmetatable({}, shallower)
end

-- One point after the other in this process, the engine's threads at each.
local function in_place(sweep)
    local points, columns = {}, nil
    local _ <close> = one_deeper()
    if depth == 1 then
        core.keep(nil)
    end
    for i = 0, sweep.count - 1 do
        core.progress(i, sweep.count)
        points[i] = point(sweep, i)
        columns = depth == 1 and keep(points[i], columns)
    end
    core.progress(sweep.count, sweep.count)
    local result = core.bound(sweep, points)
    core.sheet_of(result).kept = depth == 1
    return result
end

-- In a check a sweep with a file stays in this process, and may do there what it might in others.
local function sealed(sweep)
    core.seal(true)
    local fine, result = core.pcall(in_place, sweep)
    core.seal(false)
    return fine and result or error(result, 0)
end

-- The lines that were set aside beside a journal and begin with this head, the most of several; an empty list when there are none.
local function lines_set_aside(name, head)
    local best, n = {}, 1
    local lines = core.journal_lines(name .. "." .. n)
    while lines do
        best = lines[1] == head and #lines > #best and lines or best
        n = n + 1
        lines = core.journal_lines(name .. "." .. n)
    end
    return best
end

-- Begins the journal with this head and with what was set aside of the same sweep; what it held of another one is set aside.
local function begin_anew(sweep, journal, name, lines, head)
    local back = lines_set_aside(name, head)
    local words = sweep.file .. ": the script or its values have changed since its rows were begun"
    if #lines < 2 or #lines_set_aside(name, lines[1]) >= #lines then
        journal:restart()
    else
        words = words .. "; those rows are kept in " .. journal:set_aside(name)
    end
    if lines[2] then
        core.say(words .. (back[2] and "" or "; it starts anew"))
    end
    journal:add(head)
    for l = 2, #back do
        journal:add(back[l])
    end
    return back
end

-- The points that an earlier run of the same sweep has left.
local function earlier_points(sweep, journal, name, run)
    local points, lines = {}, journal:lines()
    local head = core.rows_head(sweep, run.hash)
    if not run.hash then -- nothing tells whether they are of the same script
        journal:restart()
        journal:add(head)
        return points
    elseif lines[1] ~= head then
        lines = begin_anew(sweep, journal, name, lines, head)
    end
    for l = 2, #lines do
        local i, records = core.point_of_line(lines[l])
        points[i or -1] = records
    end
    return points
end

local function missing_points(sweep, points, run)
    local first, last = core.share_bounds(sweep.count, run.part, run.parts)
    local todo = {}
    for i = first, last do
        if not points[i] then
            todo[#todo + 1] = i
        end
    end
    local there = last - first + 1 - #todo
    if there > 0 and #todo > 0 then
        core.say(("%s: going on, %d of %d points are there"):format(sweep.file, there, last - first + 1))
    elseif there > 0 then
        core.say(("%s: all %d points are there; remove its .rows file to compute them anew"):format(sweep.file, there))
    end
    return todo
end

-- Calls take(line) for each point as it is finished, in any order, and idle() every now and then.
local function each_line(sweep, todo, run, take, idle)
    local function work(i)
        return core.point_line(i, point(sweep, i))
    end
    if not run.has_pool then
        for _, i in ipairs(todo) do
            take(work(i))
        end
        return
    end
    local pool <close> = core.pool(todo, work)
    for line in core.pool_next, pool do
        if line then
            take(line)
        else
            idle()
        end
    end
end

-- Rows go into a journal beside the file as they are finished; the file is written at the end, but not for a share.
local function recorded(sweep, run)
    local whole = run.parts == 0
    local name = whole and sweep.file .. ".rows" or core.share_name(sweep.file, run.part, run.parts)
    local journal = core.journal(name, core.journal_word)
    local points = earlier_points(sweep, journal, name, run)
    local todo, done = missing_points(sweep, points, run), 0
    core.progress(0, #todo)
    each_line(sweep, todo, run, function(line)
        journal:add(line)
        local i, records = core.point_of_line(line)
        points[i] = records
        done = done + 1
        core.progress(done, #todo)
    end, function()
        journal:sync(false)
    end)
    journal:sync(true)
    local result = core.bound(sweep, points)
    core.sheet_of(result, "sweep").stamp = core.stamp_of_head(core.rows_head(sweep, run.hash))
    if whole then
        result:save(sweep.file)
    end
    journal:close()
    return result
end

-- Files that sweeps of this run have written: a second one would throw the first one's rows away.
local files = {}

local function check_file(file, run)
    core.format_of_file("sweep", file)
    core.folder_for("sweep", file)
    if run.worker then
        core.fail("sweep: within the build or read of a sweep another one cannot have a file")
    elseif files[file] then
        core.fail("sweep: two sweeps of a script need files of different names, not '" .. file .. "' for both")
    end
    files[file] = true
end

-- ll.sweep{ vary = { {name, {values}}, ... }, build = f(values), read = f(pickup, values) }
function ll.sweep(fields)
    local given, run = core.read("sweep", fields, "sweep"), core.run()
    local sweep = { vary = given.vary, count = check_axes(given.vary), axes = {}, columns = core.list_of_texts(core.list(given.columns), "columns", "sweep"),
        title = given.title, build = given.build, read = given.read, file = given.file }
    for a, axis in ipairs(sweep.vary) do
        sweep.axes[a] = axis[1]
    end
    if sweep.file then
        check_file(sweep.file, run)
    elseif run.parts > 0 then
        core.fail('sweep: --part shares out sweeps with a file; add file = "results.csv"')
    end
    if sweep.file and not run.check_mode then
        return recorded(sweep, run)
    end
    return (sweep.file and sealed or in_place)(sweep)
end
