-- FLAC keeps every sample (RFC 9639, section 1), so what the program `flac` made of a WAV tells the same as the WAV, digit by digit.
-- SPDX-License-Identifier: GPL-3.0-or-later
local function same(a, b, what)
    assert(#a == #b and #a > 0, what .. ": rows differ in number")
    for i, row in ipairs(a) do
        for name, value in pairs(row) do
            assert(b[i][name] == value, string.format("%s, row %d, %s: %s by WAV, %s by FLAC", what, i, name, value, b[i][name]))
        end
    end
end

for _, name in ipairs{ "strings", "coil" } do
    local wav, flac = ll.recording{ file = name .. ".wav" }, ll.recording{ file = name .. ".flac" }
    same(wav:channels(), flac:channels(), name .. ", channels")
    if name == "strings" then
        same(wav:string_levels{ count = 6 }, flac:string_levels{ count = 6 }, "levels of strings")
    end
end
