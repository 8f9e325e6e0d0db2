-- journal.lua - the input's lines as shares of a sweep that are joined, and as a journal that is gone on with.
-- Zero bytes part the shares. A line that begins with ! is written as it stands, others with their checksum before them, as the
-- journal does it: else no input would ever get past it.
-- SPDX-License-Identifier: GPL-3.0-or-later
local bytes, _, core = ...
local FILE, MOST_SHARES = "x.csv", 4

local function found(what)
    error("FOUND: " .. what, 0)
end

local function lines_of(text)
    local lines = {}
    for line in string.gmatch(text, "[^\n]+") do
        lines[#lines + 1] = line
    end
    return lines
end

local function with_sum(line)
    return string.sub(line, 1, 1) == "!" and string.sub(line, 2) or core.hash(line) .. " " .. line
end

local function write_lines(name, lines)
    local text = {}
    for i, line in ipairs(lines) do
        text[i] = with_sum(line) .. "\n"
    end
    core.write_file(name, table.concat(text))
end

-- Whether a sweep can have had such records: values that are no numbers never get into one.
local function can_be_written(records)
    local finite = records.error == nil or math.abs(records.error) < math.huge
    for _, record in ipairs(records) do
        for _, cell in ipairs(record) do
            finite = finite and (type(cell[2]) ~= "number" or math.abs(cell[2]) < math.huge)
        end
    end
    return finite
end

-- What was read and is written again must be read as the same.
local function check_line(line)
    local i, records = core.point_of_line(line)
    if not i or not can_be_written(records) then
        return
    end
    local once = core.point_line(i, records)
    local j, again = core.point_of_line(once)
    if j ~= i or core.point_line(j, again) ~= once then
        found("a point that was written is read as another: " .. once)
    end
end

local shares = {}
for share in string.gmatch(bytes, "[^\0]+") do
    shares[#shares + 1] = #shares < MOST_SHARES and lines_of(share) or nil
end
for part, lines in ipairs(shares) do
    write_lines(core.share_name(FILE, part, #shares), lines)
end
local joined, why = pcall(core.join, FILE)
if not joined and type(why) ~= "string" then
    found("join raises what is no text")
end
for part, lines in ipairs(shares) do
    core.write_file(core.share_name(FILE, part, #shares), "")
    for _, line in ipairs(lines) do
        check_line(line)
    end
end

-- The same lines through the journal itself, from which a torn end is cut off.
write_lines("y.csv.rows", shares[1] or {})
local journal = core.journal("y.csv.rows")
local kept = journal:lines()
for n, line in ipairs(kept) do
    if string.find(line, "\n", 1, true) then
        found("a line of a journal with a line break")
    elseif shares[1][n] and string.sub(shares[1][n], 1, 1) ~= "!" and shares[1][n] ~= line then
        found("a line of a journal is another than was written")
    end
end
journal:add("last")
if journal:lines()[#kept + 1] ~= "last" then
    found("what is added behind a torn end is lost")
end
journal:close()
