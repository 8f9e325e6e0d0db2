-- sweep_rows.lua - the rows of a sweep on their way to a table: as lines of a journal, and bound together at the end.
-- A point is one combination of a sweep: a list of records, each a list of { name, value }, in order; `error` is the worst mesh
-- error of its readings, if any, `missed` tells that it is worse than asked for, and `remarks` lists what they rest on.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local concat, format, gmatch, gsub = table.concat, string.format, string.gmatch, string.gsub
local byte, char, find, match, sub = string.byte, string.char, string.find, string.match, string.sub
local type, tostring = core.type, core.tostring

local MAGIC, MOST_SHARES = "lodeloom rows 2", 1000
core.journal_word = "lodeloom rows "
core.most_points = 100000 -- combinations of a sweep

-- What would part lines or cells, and the sign of the escape itself.
local function escaped(text)
    return (gsub(text, "[%c%%=,;]", function(c)
        return format("%%%02X", byte(c))
    end))
end

local function plain(text)
    return (gsub(text, "%%(%x%x)", function(digits)
        return char(tonumber(digits, 16))
    end))
end

-- Numbers come back as they were, to the last bit.
local function value_text(value)
    if type(value) == "string" then
        return "s" .. escaped(value)
    elseif math.type(value) == "float" then
        return "f" .. format("%a", value)
    elseif type(value) == "number" then
        return "i" .. format("%d", value)
    elseif type(value) == "boolean" then
        return "b" .. tostring(value)
    end
    return "o" .. escaped(tostring(value)) -- a part, by its name
end

local function value_of(text)
    local kind, rest = sub(text, 1, 1), sub(text, 2)
    if kind == "s" then
        return plain(rest)
    elseif kind == "f" or kind == "i" then
        return tonumber(rest)
    end
    return rest == "true" or rest == "false" and false or nil
end

local function error_text(point)
    return point.error and format(" %a", point.error) .. (point.missed and "!" or "") or ""
end

-- "12 0x1p-8<tab>#remark<tab>name=value<tab>name=value<tab>;<tab>name=value": point 12, its mesh error (with a ! when worse than
-- asked for), its remarks, and two records. A name without a value has "=-".
function core.point_line(i, records)
    local cells = { format("%d", i) .. error_text(records) }
    for _, text in ipairs(records.remarks) do
        cells[#cells + 1] = "#" .. escaped(text)
    end
    for r, record in ipairs(records) do
        if r > 1 then
            cells[#cells + 1] = ";"
        end
        for _, cell in ipairs(record) do
            cells[#cells + 1] = escaped(cell[1]) .. "=" .. (cell[2] == nil and "-" or value_text(cell[2]))
        end
    end
    return concat(cells, "\t")
end

-- The number and the records of a line.
function core.point_of_line(line)
    local records, i = { {}, remarks = {} }, nil
    for cell in gmatch(line, "[^\t]+") do
        local name, text = match(cell, "^([^=]*)=(.*)$")
        if not i then
            i = tonumber(match(cell, "^%d+"))
            records.error, records.missed = tonumber(match(cell, " ([^!]+)")), find(cell, "!", 1, true) ~= nil
        elseif cell == ";" then
            records[#records + 1] = {}
        elseif name then
            local record = records[#records]
            record[#record + 1] = { plain(name), value_of(text) }
        elseif sub(cell, 1, 1) == "#" then
            records.remarks[#records.remarks + 1] = plain(sub(cell, 2))
        end
    end
    return i, records
end

local function name_list(names)
    local list = {}
    for i, name in ipairs(names) do
        list[i] = escaped(name)
    end
    return concat(list, ",")
end

-- A sweep's values as a text: whatever changes them changes it.
local function values_text(vary)
    local texts = {}
    for _, axis in ipairs(vary) do
        for _, value in ipairs(axis[2]) do
            texts[#texts + 1] = value_text(value)
        end
        texts[#texts + 1] = ";"
    end
    return concat(texts, ",")
end

-- The first line of a journal. An equal head means an equal sweep.
function core.rows_head(sweep, hash)
    return concat({ MAGIC, core.hash(values_text(sweep.vary), hash), format("%d", sweep.count),
        escaped(sweep.title or ""), name_list(sweep.axes), name_list(sweep.columns) }, "\t")
end

-- What stands for the sweep in its file: the same from one run and from joined shares.
function core.stamp_of_head(head)
    return { lodeloom = core.version, asked = core.stamp().asked, sweep = match(head, "^[^\t]*\t(%x+)\t") }
end

local function names_of(text)
    local names = {}
    for name in gmatch(text, "[^,]+") do
        names[#names + 1] = plain(name)
    end
    return names
end

-- Nil for a line that is no head: shares come from other benches.
local function sweep_of_head(head)
    local count, title, axes, columns = match(head, "^" .. MAGIC .. "\t%x+\t(%d+)\t([^\t]*)\t([^\t]*)\t([^\t]*)$")
    count = tonumber(count)
    return count and count <= core.most_points and { count = count, title = title ~= "" and plain(title) or nil, axes = names_of(axes),
        columns = names_of(columns) }
end

-- A list of names, and a function that adds one that is not in it yet.
local function collector()
    local names, seen = {}, {}
    return names, function(name)
        if not seen[name] then
            seen[name] = true
            names[#names + 1] = name
        end
    end
end

-- How far the meshes may put the points off: how many of them more than was asked for, and the worst of all.
local function origin_of(sweep, points)
    local list, missed = {}, 0
    for i = 0, sweep.count - 1 do
        local point = points[i]
        if point and point.error then
            list[#list + 1] = { error = point.error, missed = point.missed, mesh = "", remarks = {} }
            missed = point.missed and missed + 1 or missed
        end
    end
    local origin = core.joined(list)
    local most = origin.error and core.worst_of_mesh(origin.error)
    if missed > 0 then
        origin.mesh = format("WARNING: at %d of %d points the mesh error may be more than was asked for, up to %s; give the pickup a "
            .. "wider accuracy or more memory", missed, sweep.count, most)
    elseif most then
        origin.mesh = "mesh error: at most about " .. most
    end
    return origin
end

local MOST_REMARKS = 12 -- nobody reads more

-- The remarks of all points, each once.
local function remarks_of(sweep, points)
    local remarks, seen, left_out = {}, {}, 0
    for i = 0, sweep.count - 1 do
        for _, text in ipairs(points[i] and points[i].remarks or {}) do
            if not seen[text] and #remarks < MOST_REMARKS then
                remarks[#remarks + 1] = text
            elseif not seen[text] then
                left_out = left_out + 1
            end
            seen[text] = true
        end
    end
    remarks[#remarks + 1] = left_out > 0 and "odd: " .. left_out .. " more remarks of this kind" or nil
    return remarks
end

-- The table of a sweep from the records of its points, in order; points that are missing are left out.
-- Columns: the axes, then `columns`, then the others as they are first met.
function core.bound(sweep, points)
    local rows, columns, add = {}, collector()
    for _, list in ipairs({ sweep.axes, sweep.columns }) do
        for _, name in ipairs(list) do
            add(name)
        end
    end
    for i = 0, sweep.count - 1 do
        for _, record in ipairs(points[i] or {}) do
            local row = {}
            for _, cell in ipairs(record) do
                add(cell[1])
                row[cell[1]] = cell[2]
            end
            rows[#rows + 1] = row
        end
    end
    local t = core.table({ title = sweep.title, columns = columns, rows = rows })
    local sheet = core.sheet_of(t, "sweep")
    sheet.axes = sweep.axes
    local origin = origin_of(sweep, points)
    origin.remarks = remarks_of(sweep, points)
    core.rest_on(sheet, origin)
    return t
end

function core.share_name(file, part, parts)
    return format("%s.rows-%d-of-%d", file, part, parts)
end

-- How many shares there are, told by the first one's name.
local function count_shares(file)
    local found
    for n = 1, MOST_SHARES do
        if core.journal_lines(core.share_name(file, 1, n)) then
            if found then
                core.fail(format("join: there are shares of %d and of %d; take away those that do not belong", found, n))
            end
            found = n
        end
    end
    return found or core.fail("join: there is no first share: '" .. core.share_name(file, 1, 8) .. "' or of another number")
end

-- The lines of a share, its head first.
local function lines_of_share(file, part, parts, head)
    local name = core.share_name(file, part, parts)
    local lines = core.journal_lines(name)
    if not lines or not lines[1] then
        core.fail(format("join: '%s' is missing; run the script with --part %d/%d", name, part, parts))
    elseif head and lines[1] ~= head then
        core.fail("join: '" .. name .. "' belongs to another version of the script or was run with other values")
    end
    return lines
end

-- Adds a share's points; all of them must be there.
local function collect(sweep, points, lines, part, parts)
    for l = 2, #lines do
        local i, records = core.point_of_line(lines[l])
        points[i or -1] = records
    end
    local first, last = core.share_bounds(sweep.count, part, parts)
    local missing = 0
    for i = first, last do
        missing = points[i] and missing or missing + 1
    end
    if missing > 0 then
        core.fail(format("join: share %d of %d is not finished, %d of its %d points are missing; run it again to go on",
            part, parts, missing, last - first + 1))
    end
end

-- Points of share `part`: neighbours stay together. Counted from 0.
function core.share_bounds(count, part, parts)
    if parts == 0 then
        return 0, count - 1
    end
    return (part - 1) * count // parts, part * count // parts - 1
end

-- core.join(file): puts the shares beside a file together into it.
function core.join(file)
    core.format_of_file("join", file)
    local parts, points = count_shares(file), {}
    local head = lines_of_share(file, 1, parts)[1]
    local sweep = sweep_of_head(head) or core.fail("join: '" .. core.share_name(file, 1, parts) .. "' holds no rows")
    for part = 1, parts do
        collect(sweep, points, lines_of_share(file, part, parts, head), part, parts)
    end
    local result = core.bound(sweep, points)
    core.sheet_of(result, "join").stamp = core.stamp_of_head(head)
    result:save(file)
    core.say(format("%s: %d rows from %d shares", file, #result, parts))
end
