-- ends with 0: what would be refused in the table of a sweep is refused before its first point
local built = 0
local function refused(words, fields)
    fields.build = function()
        built = built + 1
        return 1
    end
    fields.read = fields.read or function()
        return { y = 1 }
    end
    local fine, message = pcall(ll.sweep, fields)
    assert(not fine and string.find(message, words, 1, true) and string.find(message, "names_before_work.lua:"), message)
end
refused("must be a text on one line", { vary = { { "x\ny", { 1, 2 } } } })
refused("item 2 of 'columns' must be a text on one line", { vary = { { "x", { 1 } } }, columns = { "y", {} } })
refused("item 1 of 'columns' must be a text on one line", { vary = { { "x", { 1 } } }, columns = { "y\r" } })
refused("value 2 of the axis 'x' is missing", { vary = { { "x", { 1, nil, 3 } } } })
refused("a file name ending in", { vary = { { "x", { 1 } } }, file = "rows.xls" })
refused("is not a plain file name", { vary = { { "x", { 1 } } }, file = "../rows.csv" })
assert(built == 0)
refused("a name that is no text on one line", { vary = { { "x", { 1, 2, 3 } } }, read = function() return { ["y\nz"] = 1 } end })
assert(built == 1)
