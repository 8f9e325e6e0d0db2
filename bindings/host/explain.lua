-- explain.lua - Lua's own messages in the words of people who do not program. Gets a message, returns it, or a plainer one.
-- A row is a pattern of Lua's text, after the file and the line, and what is said in its place; %1 is what the pattern
-- caught first. A third item is a pattern of the script's line, which must fit as well. The first row that fits is taken.
-- SPDX-License-Identifier: GPL-3.0-or-later
local message, script = ...
local find, gmatch, gsub, match = string.find, string.gmatch, string.gsub, string.match

-- Where a value came from, as Lua names it: (local 'x'), (field 'x').
local NAMED = " %(%a+ '([^']*)'%)"

local rows = {
    -- While the script runs: something has no value, or a value of the wrong kind.
    { "attempt to index a nil value" .. NAMED,
        "'%1' has no value (nil) at this line, so nothing can be asked of it: it is misspelt, or set only further down" },
    { "attempt to index a nil value",
        "what stands before the dot, the colon or the bracket has no value (nil): a list item or a row that is not there?" },
    { "attempt to index a (%a+) value" .. NAMED,
        "'%2' is a %1, and nothing can be asked of it by a dot or a colon" },
    { "attempt to call a nil value %(method '([^']*)'%)",
        "there is no ':%1' here; `help` at the prompt lists what can be asked" },
    { "attempt to call a nil value" .. NAMED,
        "there is no '%1' that could be called: it is misspelt, or its `local function` stands further down" },
    { "attempt to call a (%a+) value" .. NAMED,
        "'%2' is a %1 and cannot be called like a function: is a comma missing before the brace or bracket?" },
    { "attempt to call a (%a+) value",
        "a %1 is called like a function: is a comma missing between two items of a list?" },
    { "attempt to %a+ a 'string' with a '%a+'",
        "a text stands where a number is reckoned with; write numbers without quotes and without their unit" },
    { "attempt to %a+ a '%a+' with a 'string'",
        "a text stands where a number is reckoned with; write numbers without quotes and without their unit" },
    { "attempt to perform arithmetic on a nil value" .. NAMED,
        "'%1' has no value (nil), so there is nothing to reckon with; a value that may be left out takes a default, as "
        .. "in (given.%1 or 2.5)" },
    { "attempt to perform arithmetic on a nil value",
        "there is no value (nil) to reckon with: is a name misspelt, or a list item not there?" },
    { "attempt to perform arithmetic on a string value" .. NAMED,
        "%1 is a text, and texts cannot be reckoned with; write a number without quotes and without its unit" },
    { "attempt to perform arithmetic on a (%a+) value" .. NAMED,
        "'%2' is a %1 and no number, so it cannot be reckoned with; take one value of it, as in %2[1]" },
    { "attempt to perform arithmetic on a (%a+) value",
        "a %1 cannot be reckoned with; a number is wanted" },
    { "attempt to concatenate a nil value" .. NAMED,
        "'%1' has no value (nil), so it cannot be joined to a text by two dots" },
    { "attempt to concatenate a (%a+) value" .. NAMED,
        "'%2' is a %1, and only texts and numbers can be joined by two dots; write tostring(%2)" },
    { "attempt to compare number with nil",
        "a number is compared with something that has no value (nil): is a name misspelt, or a value not given?" },
    { "attempt to compare nil with number",
        "something that has no value (nil) is compared with a number: is a name misspelt, or a value not given?" },
    { "attempt to compare (%a+) with (%a+)",
        "a %1 is compared with a %2; compare numbers with numbers, and write numbers without quotes" },
    { "attempt to get length of a nil value" .. NAMED,
        "'%1' has no value (nil), so it has no length" },
    { "'for' (%a+) value must be a number",
        "`for` counts with numbers, and its %1 value is none" },
    { "'for' limit must be a number",
        "`for` counts up to a number, and its limit is none; the length of a list is #list" },
    { "'for' step is zero", "`for` never ends with steps of zero" },
    { "bad argument #1 to 'for iterator' %(table expected, got nil%)",
        "`for` walks through a list, and there is none here (nil): is its name misspelt?" },
    { "bad argument #(%d) to '([^']*)' %((%a+) expected, got (%a+)%)",
        "%2 needs a %3 as its value number %1, not %4" },
    { "bad argument #(%d) to '([^']*)' %((.-)%)", "%2: value number %1 is wrong: %3" },
    { "stack overflow.*",
        "a function calls itself without end" },
    { "attempt to assign to const variable '([^']*)'",
        "'%1' is marked <const> and cannot be given another value" },

    -- While the script is read: a sign is missing or one too many.
    { "'}' expected %(to close '{' at line (%d+)%) near <eof>",
        "the brace that opens in line %1 is never closed; add }" },
    { "'%)' expected %(to close '%(' at line (%d+)%) near <eof>",
        "the bracket that opens in line %1 is never closed; add )" },
    { "'}' expected %(to close '{' at line (%d+)%) near '(.-)'",
        "a comma is missing before '%2', or the brace that opens in line %1 should be closed by then" },
    { "'%)' expected %(to close '%(' at line (%d+)%) near '(.-)'",
        "a comma is missing before '%2', or the bracket that opens in line %1 should be closed by then" },
    { "'}' expected near '='",
        "an equals sign too many, or a name in quotes before it: fields are written name = value, without quotes" },
    { "'}' expected near <eof>", "a brace is never closed; add }" },
    { "'}' expected near '(.-)'", "a comma is missing before '%1', or a brace should be closed by then" },
    { "'%)' expected near '='",
        "fields stand in braces, as in ll.rod{ diameter = 5 }, not in round brackets" },
    { "'%)' expected near '(.-)'", "a comma is missing before '%1', or a bracket should be closed by then" },
    { "'(%a+)' expected %(to close '(%a+)' at line (%d+)%) near <eof>",
        "the `%2` of line %3 has no `%1`; add one where it is over" },
    { "'(%a+)' expected %(to close '(%a+)' at line (%d+)%) near '(.-)'",
        "the `%2` of line %3 needs its `%1` before '%4'" },
    { "'end' expected near <eof>", "an `end` is missing: each function, if, for and while has one" },
    { "'then' expected near '='", "equal or not is asked with two equals signs: if a == b then" },
    { "'(%a+)' expected near '(.-)'", "the word `%1` is missing before '%2'" },
    { "<eof> expected near 'end'", "an `end` too many, or its function, if, for or while is gone" },
    { "<eof> expected near '(.-)'", "'%1' closes something that was never opened" },
    { "unfinished string near '?(.-)'?$", "the closing quote is missing: %1" },
    { "unfinished long (%a+) .*", "a %1 that opens with [[ is never closed by ]]" },
    { "malformed number near '(%d+)%.%.+(%d*)'",
        "`for` counts with a comma, as in for i = 1, 6 do; two dots join texts" },
    { "'='? ?o?r? ?'?i?n?'? ?expected near '(%d.-)'", "`for` wants a name and a range, as in for i = 1, 6 do", "^%s*for%s" },
    { "<name> expected near '(%d.-)'", "`for` wants a name and a range, as in for i = 1, 6 do", "^%s*for%s" },
    { "'[,=]' expected near ':'", "`for` counts with a comma, as in for i = 1, 6 do", "^%s*for%s" },
    { "'[,=]' expected near 'to'", "`for` counts with a comma, as in for i = 1, 6 do", "^%s*for%s" },
    { "'do' expected near '.-'", "`for` and `while` end with do, as in for i = 1, 6 do" },
    { "malformed number near '([%d.]+)[kK]'",
        "thousands are written %1e3, or %1 * ll.kohm for a pot" },
    { "malformed number near '([%d.]+)[a-wyzA-WYZ]*'",
        "a number stands without its unit: %1 is millimetres already; ll.inch(%1) and ll.thou(%1) are for others" },
    { "malformed number near '(.-)'", "'%1' is no number; decimals take a point, as in 2.5" },
    { "unexpected symbol near '<\\(%d+)>'",
        "a sign that Lua does not know, such as a curly quote or a long dash from a word processor; write \" and - on the "
        .. "keyboard, in a plain text editor" },
    { "unexpected symbol near <eof>", "the script stops in the middle of something" },
    { "unexpected symbol near '}'", "something is missing before the brace: a value behind an equals sign?" },
    { "unexpected symbol near ','", "something is missing before the comma: a value behind an equals sign?" },
    { "unexpected symbol near '='", "something is missing before the equals sign, or one is too many" },
    { "unexpected symbol near '(.-)'", "'%1' does not belong here; is something missing before it?" },
    { "'=' expected near '(.-)'",
        "no line of a script reads like this, up to '%1': is an equals sign missing, or two dashes before a remark?" },
    { "syntax error near '(.-)'",
        "no line of a script reads like this, up to '%1': are two dashes missing before a remark, or is `local` misspelt?" },
    { "syntax error near <eof>", "the script stops in the middle of a line" },
    { "<name> expected near '([%d\"{].-)'",
        "a field is written with an equals sign, as in diameter = 5, not with a colon" },
    { "<name> expected near '(.-)'", "a name is wanted in place of '%1'; names are letters, digits and _, a letter first" },
    { "invalid escape sequence '(.-)'", "a backslash in a text is written twice: \\\\" },
}

-- Lines of the script, by number.
local function lines_of(text)
    local lines = {}
    for line in gmatch((text or "") .. "\n", "(.-)\r?\n") do
        lines[#lines + 1] = line
    end
    return lines
end

-- What opens something on this line that an `end` must close; nil when nothing does, or when the line closes it itself.
local function opener_of(line)
    local code = gsub(line, "%-%-.*$", "")
    if find(code, "%f[%w_]end%f[^%w_]") then
        return nil
    end
    return match(code, "^%s*(for)%f[^%w_]") or match(code, "^%s*(while)%f[^%w_]") or match(code, "^%s*(if)%f[^%w_]")
        or match(code, "%f[%w_](function)%f[^%w_]")
end

-- By indentation: the opener, at or below line `first`, whose `end` is missing, and its line.
local function unclosed(lines, first)
    local open = {}
    for number = first, #lines do
        local line = lines[number]
        local indent, word = #match(line, "^%s*"), opener_of(line)
        if find(line, "^%s*end%f[^%w_]") then
            local top = open[#open]
            if top and top.indent > indent then
                return top.word, top.number
            end
            open[#open] = nil
        elseif word then
            open[#open + 1] = { word = word, number = number, indent = indent }
        end
    end
end

-- Only the first line is Lua's; what follows says from where it was called.
local first, rest = match(message, "^([^\n]*)(.*)$")
local place, text = match(first, "^(.-:%d+: )(.*)$")
if not place then
    return message
end
local lines = lines_of(script)

-- Lua blames the outermost of several when an `end` is missing; indentation knows better.
local from = match(text, "^'end' expected %(to close '%a+' at line (%d+)%)")
local word, number
if from then
    word, number = unclosed(lines, math.tointeger(from))
end
if word then
    return place .. "the `" .. word .. "` of line " .. number .. " has no `end`; add one where it is over" .. rest
end

local line = lines[math.tointeger(match(place, ":(%d+): $"))] or ""
for _, row in ipairs(rows) do
    if find(text, row[1]) and (not row[3] or find(line, row[3])) then
        return place .. gsub(text, row[1], row[2], 1) .. rest
    end
end
return message
