-- read_table.lua - ll.read_table{...}: a table of the bench from a text file, in whichever dialect its maker wrote.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local concat, find, format, gsub, lower, match, sub = table.concat, string.find, string.format, string.gsub, string.lower,
    string.match, string.sub
local type, integer = core.type, core.integer

local MOST_BYTES, MOST_LINES, MOST_CELLS, LONGEST_LINE, LOOKED_AT = 1 << 24, 200000, 1000000, 8192, 200
local MOST_BY_ROW = 200
local SEPARATORS = { "\t", ";", ",", "|", " " }
local NAMES = { ["\t"] = "tabs", [";"] = "semicolons", [","] = "commas", ["|"] = "bars", [" "] = "spaces" }

-- What heads of columns call units: the suffix of this house, and how many of its unit one of theirs is.
local UNITS = {
    Hz = { "hz", 1 }, kHz = { "hz", 1e3 }, MHz = { "hz", 1e6 }, ohm = { "ohm", 1 }, ohms = { "ohm", 1 }, kohm = { "ohm", 1e3 },
    kOhm = { "ohm", 1e3 }, Mohm = { "ohm", 1e6 }, MOhm = { "ohm", 1e6 }, H = { "h", 1 }, mH = { "h", 1e-3 }, uH = { "h", 1e-6 },
    F = { "f", 1 }, uF = { "f", 1e-6 }, nF = { "f", 1e-9 }, pF = { "f", 1e-12 }, V = { "mv", 1e3 }, mV = { "mv", 1 },
    uV = { "mv", 1e-3 }, dB = { "db", 1 }, deg = { "deg", 1 }, degrees = { "deg", 1 }, rad = { "deg", 180 / math.pi },
    s = { "s", 1 }, ms = { "s", 1e-3 }, mm = { "mm", 1 }, cm = { "mm", 10 }, m = { "m", 1 }, T = { "t", 1 }, mT = { "mt", 1 },
    G = { "gauss", 1 }, gauss = { "gauss", 1 }, cents = { "cents", 1 }, ["%"] = { "percent", 1 }, percent = { "percent", 1 },
    N = { "n", 1 }, mN = { "mn", 1 }, g = { "g", 1 },
}
local BY_LOWER = { hz = "Hz", khz = "kHz", ohm = "ohm", ohms = "ohm", kohm = "kohm", kohms = "kohm", db = "dB" }

local function fail(line, text)
    core.fail("read_table: " .. (line and "line " .. integer(line) or "") .. text)
end

-- ---- lines ----

-- Latin-1, as old instruments write, in UTF-8.
local function from_latin(text)
    return (gsub(text, "[\x80-\xff]", function(c)
        return utf8.char(string.byte(c))
    end))
end

local function line_of(text, place)
    local _, breaks = gsub(sub(text, 1, place), "\n", "\n")
    return breaks + 1
end

-- The text in UTF-8 with plain line ends, or a mistake: what is no text has bytes that no table has.
local function plain_text(text, file)
    if find(text, "^\xff\xfe") or find(text, "^\xfe\xff") then
        fail(nil, "'" .. file .. "' is saved as UTF-16; save it as CSV in UTF-8, or as plain text")
    end
    text = gsub(gsub(gsub(text, "^\xef\xbb\xbf", ""), "\r\n?", "\n"), "\u{2212}", "-")
    local odd = find(text, "[%z\1-\8\11-\31\127]")
    if odd then
        fail(line_of(text, odd), " of '" .. file .. "' holds bytes that are no text; save the table as CSV")
    end
    return utf8.len(text) and text or from_latin(text)
end

local function is_comment(line)
    return find(line, "^%s*[#%%!]") or find(line, "^%s*//")
end

-- Lines that are neither empty nor remarks, { text, number }; the last remark above the first of them, and what "sep=;" said.
local function lines_of(text)
    local list, number, remark, said = {}, 0, nil, nil
    for line in string.gmatch(text, "([^\n]*)\n?") do
        number = number + 1
        local asked = number == 1 and match(line, "^[sS][eE][pP]=(.)%s*$")
        if #line > LONGEST_LINE then
            fail(number, " has " .. integer(#line) .. " letters; a line of a table has at most " .. integer(LONGEST_LINE))
        elseif number > MOST_LINES then
            fail(nil, "there are more than " .. integer(MOST_LINES) .. " lines; cut out what is needed")
        elseif asked then
            said = asked
        elseif is_comment(line) then
            remark = #list == 0 and { gsub(line, "^%s*[#%%!/]+%s*", ""), number } or remark
        elseif find(line, "%S") then
            list[#list + 1] = { line, number }
        end
    end
    return list, remark, said
end

-- ---- cells ----

local function trimmed(text)
    return match(text, "^%s*(.-)%s*$")
end

-- A unit in brackets stays with its name where spaces part columns.
local function by_spaces(line)
    local cells = {}
    for cell in string.gmatch(gsub(line, "%s+([%(%[])", "%1"), "%S+") do
        cells[#cells + 1] = match(cell, '^"(.*)"$') or cell
    end
    return cells
end

-- A quoted cell from `at` on: its text, and where the next cell begins. Without a number of the line a fault is but a trial that failed.
local function quoted_cell(line, number, at, separator)
    local from, text = find(line, '"', at, true) + 1, ""
    while true do
        local stop = find(line, '"', from, true)
        if not stop then
            return number and fail(number, " opens a quote that it does not close") or sub(line, at), #line + 2
        end
        text = text .. sub(line, from, stop - 1)
        if sub(line, stop + 1, stop + 1) ~= '"' then
            local next_one = find(line, separator, stop + 1, true) or #line + 1
            if number and find(sub(line, stop + 1, next_one - 1), "%S") then
                fail(number, " has text behind a closed quote")
            end
            return text, next_one + 1
        end
        text, from = text .. '"', stop + 2
    end
end

local function cells_of(line, number, separator)
    if separator == " " then
        return by_spaces(line)
    end
    local cells, at = {}, 1
    while at <= #line + 1 do
        if find(line, '^[ ]*"', at) then
            cells[#cells + 1], at = quoted_cell(line, number, at, separator)
        else
            local next_one = find(line, separator, at, true) or #line + 1
            cells[#cells + 1], at = trimmed(sub(line, at, next_one - 1)), next_one + 1
        end
    end
    return cells
end

-- The number that a cell spells; nil for any other text.
local function number_in(cell, decimal)
    if decimal == "," then
        if find(cell, ".", 1, true) then
            return nil
        end
        cell = gsub(cell, ",", ".")
    end
    local plain = match(cell, "^[+-]?(%d*%.?%d*)$") or match(cell, "^[+-]?(%d*%.?%d*)[eE][+-]?%d+$")
    return plain and find(plain, "%d") and tonumber(cell) or nil
end

local function count_numbers(cells, decimal)
    local count, filled = 0, 0
    for _, cell in ipairs(cells) do
        filled = filled + (cell ~= "" and 1 or 0)
        count = count + (number_in(cell, decimal) and 1 or 0)
    end
    return count, filled
end

-- ---- the dialect ----

-- How many cells most lines have, the larger count where two are met as often.
local function usual_width(split)
    local seen, width = {}, 1
    for _, cells in ipairs(split) do
        seen[#cells] = (seen[#cells] or 0) + 1
    end
    for count, times in next, seen do
        if times > (seen[width] or 0) or times == seen[width] and count > width then
            width = count
        end
    end
    return width
end

-- How a file reads with this separator and this decimal sign: where its data begin, how many columns, how much is off. Data begin at
-- the first line of the usual width of which half are numbers; of what stands above, no line may look like data.
local function tried(lines, separator, decimal)
    local try, split = { separator = separator, decimal = decimal, off = 0 }, {}
    for i = 1, math.min(#lines, LOOKED_AT) do
        split[i] = cells_of(lines[i][1], nil, separator)
    end
    try.columns = usual_width(split)
    for i, cells in ipairs(split) do
        local numbers, filled = count_numbers(cells, decimal)
        local fits = #cells == try.columns
        try.first = try.first or (2 * numbers > filled or fits and numbers > 0 and 2 * numbers == filled) and i
        try.head = not try.first and #cells or try.head
        try.off = try.off + (not try.first and 0 or fits and filled - numbers or 1)
    end
    try.off = try.off + (try.head and try.head ~= try.columns and 1 or 0)
    -- "a,b" over "1,2" is a head of two columns, however well the lines below read as decimals.
    if try.columns == 1 and try.first and try.first > 1 and find(lines[try.first - 1][1], "[\t;,|]") then
        try.off = try.off + 2
    end
    return try.first and try
end

local function is_better(a, b)
    if a.off ~= b.off then
        return a.off < b.off
    end
    return a.columns > b.columns
end

-- "100,7000" without a head: two whole numbers, or one with a decimal comma? Nobody can tell.
local function ask_back(best, given)
    if best.separator == "," and best.columns == 2 and not best.head and not given.separator and not given.columns
        and not given.decimal then
        fail(nil, "'" .. given.file .. "' has one comma in each line and no head, so it may hold two columns or one with decimal "
            .. "commas; write separator = \",\" or decimal = \",\"")
    end
end

local function dialect_of(lines, given, said)
    local separators, best = SEPARATORS, nil
    if given.separator or said then
        separators = { given.separator or said }
    end
    for _, separator in ipairs(separators) do
        for _, decimal in ipairs(given.decimal and { given.decimal } or { ".", "," }) do
            local try = separator ~= decimal and tried(lines, separator, decimal)
            best = try and (not best or is_better(try, best)) and try or best
        end
    end
    if not best then
        fail(nil, "'" .. given.file .. "' has no line of numbers; a table has columns of numbers with a separator between them")
    end
    ask_back(best, given)
    return best
end

-- ---- heads ----

local function unit_named(text)
    text = gsub(gsub(gsub(text, "\u{2126}", "ohm"), "\u{3a9}", "ohm"), "\u{b0}", "deg")
    text = gsub(gsub(text, "\u{b5}", "u"), "\u{3bc}", "u")
    return UNITS[text] or UNITS[BY_LOWER[lower(text)] or ""]
end

local function plain_name(text, place)
    local name = gsub(gsub(lower(text), "[^%w]+", "_"), "^_*(.-)_*$", "%1")
    return name == "" and "column_" .. integer(place) or find(name, "^%d") and "c_" .. name or name
end

-- "Ls [mH]", "Rs (ohm)", "f/Hz", "level dB", "r_ohm": name and unit; a unit that is not known stays in the name.
local function name_and_unit(head)
    for _, pattern in ipairs{ "^(.-)%s*%[(.-)%]$", "^(.-)%s*%((.-)%)$", "^(.-)%s*/%s*([^/]+)$", "^(.-)[%s_]+in[%s_]+(%S+)$",
        "^(.-)[%s_]+(%S+)$" } do
        local name, unit = match(head, pattern)
        if name and name ~= "" and unit_named(trimmed(unit)) then
            return name, unit_named(trimmed(unit))
        end
    end
    return head, nil
end

-- Columns from the cells of a head, with those of a line of units below it, if any: { name, factor }.
local function columns_of(heads, units)
    local columns = {}
    for k, head in ipairs(heads) do
        local name, unit = name_and_unit(head)
        unit = unit or units and unit_named(units[k])
        columns[k] = { name = plain_name(name, k) .. (unit and "_" .. unit[1] or ""), factor = unit and unit[2] or 1 }
    end
    return columns
end

local function all_units(cells)
    for _, cell in ipairs(cells) do
        if cell ~= "" and not unit_named(match(cell, "^[%[%(](.*)[%]%)]$") or cell) then
            return false
        end
    end
    return true
end

local function bare_units(cells)
    for k, cell in ipairs(cells) do
        cells[k] = match(cell, "^[%[%(](.*)[%]%)]$") or cell
    end
    return cells
end

-- The head's cells and those of the units' line, where there are such, and how many lines lie above.
local function heads_of(lines, remark, how)
    local function cells_at(i)
        local cells = lines[i] and cells_of(lines[i][1], nil, how.separator)
        return cells and #cells == how.columns and cells or nil
    end
    local last, above = cells_at(how.first - 1), cells_at(how.first - 2)
    if last and above and all_units(last) then
        return above, bare_units(last), how.first - 3
    elseif last then
        return last, nil, how.first - 2
    end
    local said = how.first == 1 and remark and cells_of(remark[1], nil, how.separator)
    return said and #said == how.columns and count_numbers(said, how.decimal) == 0 and said or nil, nil, how.first - 1
end

-- Names that the script gives; a head's unit still counts where it is of the same kind.
local function renamed(columns, names, width)
    if #names ~= width then
        fail(nil, "'columns' has " .. integer(#names) .. " names, and the file has " .. integer(width) .. " columns")
    end
    for k, name in ipairs(core.list_of_texts(names, "columns", "read_table")) do
        local alike = columns[k] and core.unit(columns[k].name) == core.unit(name)
        columns[k] = { name = name, factor = alike and columns[k].factor or 1 }
    end
    return columns
end

local function check_names(columns)
    local seen = {}
    for _, column in ipairs(columns) do
        if seen[column.name] then
            fail(nil, "two columns are called '" .. column.name .. "'; name all of them, as in columns = { \"f_hz\", \"r_ohm\" }")
        end
        seen[column.name] = true
    end
    return columns
end

-- ---- rows ----

-- Cells of all lines of data, every line as long as the first.
local function cells_of_all(lines, how)
    local rows = {}
    if (#lines - how.first + 1) * how.columns > MOST_CELLS then
        fail(nil, "there are more than " .. integer(MOST_CELLS) .. " cells; cut out what is needed")
    end
    for i = how.first, #lines do
        local line, number = lines[i][1], lines[i][2]
        local cells = cells_of(line, number, how.separator)
        if #cells ~= how.columns then
            fail(number, " has " .. integer(#cells) .. (#cells == 1 and " cell" or " cells") .. ", and most lines have "
                .. integer(how.columns) .. "; columns are parted by " .. (NAMES[how.separator] or "'" .. how.separator .. "'"))
        end
        cells.number = number
        rows[#rows + 1] = cells
    end
    return rows
end

-- A column is of numbers when most of its cells are; a text among them is a mistake, and no column is of both.
local function settle_column(rows, k, column, decimal)
    local numbers, filled = 0, 0
    for _, row in ipairs(rows) do
        filled = filled + (row[k] ~= "" and 1 or 0)
        numbers = numbers + (number_in(row[k], decimal) and 1 or 0)
    end
    for _, row in ipairs(rows) do
        local value = number_in(row[k], decimal)
        if row[k] == "" then
            row[k] = false
        elseif 2 * numbers > filled and not value then
            fail(row.number, ": '" .. sub(row[k], 1, 40) .. "' in the column '" .. column.name
                .. "' is no number as those beside it are; leave a cell empty where nothing was read")
        elseif 2 * numbers > filled then
            row[k] = value * column.factor
            if row[k] - row[k] ~= 0 then
                fail(row.number, ": a number in the column '" .. column.name .. "' is too large")
            end
        end
    end
end

local function records(rows, columns)
    local list = {}
    for i, row in ipairs(rows) do
        list[i] = {}
        for k, column in ipairs(columns) do
            list[i][column.name] = row[k] or nil
        end
    end
    return list
end

-- A separator at the end of every line makes a column of nothing.
local function without_empty_last(rows, columns, heads)
    local k = #columns
    for _, row in ipairs(rows) do
        if row[k] then
            return
        end
    end
    if k > 1 and (not heads or heads[k] == "") then
        columns[k] = nil
    end
end

local function how_read(given, how, lines, above)
    local text = format("read from %s: %s between columns, decimal %s, lines %d to %d", given.file, NAMES[how.separator]
        or "'" .. how.separator .. "'", how.decimal == "," and "comma" or "point", lines[how.first][2], lines[#lines][2])
    return { text .. (above > 0 and format("; lines above the head passed over: %d", above) or "") }
end

local function without_first(lines, count)
    return count > 0 and table.move(lines, count + 1, #lines + 1, 1, {}) or lines
end

-- ll.read_table{ file = "lcr.csv" }: a table of what stands in a text file in the folder of --in.
function ll.read_table(fields)
    local given = core.read("read_table", fields, "read_table")
    if not given.file then
        return ll.table{ columns = { "nothing" } }
    end
    if given.separator and (type(given.separator) ~= "string" or #given.separator ~= 1) then
        fail(nil, "'separator' is one letter, such as \";\"")
    end
    local text = core.read_file("read_table", given.file, MOST_BYTES)
    if core.is_unknown(text) then
        return text
    end
    local lines, remark, said = lines_of(plain_text(text, given.file))
    lines = without_first(lines, given.skip or 0)
    local how = dialect_of(lines, given, said)
    local heads, units, above = heads_of(lines, remark, how)
    local columns = columns_of(heads or {}, units)
    for k = #columns + 1, how.columns do
        columns[k] = { name = "column_" .. integer(k), factor = 1 }
    end
    if given.columns then
        columns = renamed(columns, core.list(given.columns), how.columns)
    end
    check_names(columns)
    local rows = cells_of_all(lines, how)
    for k, column in ipairs(columns) do
        settle_column(rows, k, column, how.decimal)
    end
    without_empty_last(rows, columns, heads)
    local names = {}
    for k, column in ipairs(columns) do
        names[k] = column.name
    end
    local t = ll.table{ title = given.title or given.file, columns = names, rows = records(rows, columns),
        notes = how_read(given, how, lines, math.max(above, 0)) }
    return core.digits_by_row(t, table.unpack(names, 1, math.min(#names, MOST_BY_ROW)))
end
