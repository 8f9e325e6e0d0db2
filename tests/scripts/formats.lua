-- One table in every format; formats.expected has them.
local t = ll.table{
    title = "a table",
    columns = { "part", "f_hz", "bz_mt", "note" },
    rows = {
        { part = "pole 1", f_hz = 20, bz_mt = 55.4731, note = 'says "N"' },
        { part = "pole 2", f_hz = 19952.62315, bz_mt = -0.00001, note = "one, two" },
        { part = "bar | keeper", f_hz = 1000, note = "no reading" },
    },
    notes = { "a remark" },
}
for _, format in ipairs{ "text", "csv", "markdown", "json" } do
    print("== " .. format)
    print((t:as(format):gsub("\r\n", "<CRLF>\n")))
end
-- A warning stays with the figures in CSV too.
print((ll.table{ columns = { "bz_mt" }, rows = { { bz_mt = 1 } }, notes = { "WARNING: too coarse, by far" } }:as("csv")
    :gsub("\r\n", "<CRLF>\n")))
