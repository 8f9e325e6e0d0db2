-- Every measured case through the yardstick's script: lua5.4 measured.lua PROGRAM SCRIPT FOLDER OUT
-- SPDX-License-Identifier: GPL-3.0-or-later
local program, script, folder, out = table.unpack(arg)
local MOST = 4 -- standard deviations

local function run(input, case)
    local command = string.format("'%s' run --quiet --format csv --in '%s' --out '%s' '%s' %s 2>&1", program, input, out, script,
        case and "case=" .. case or "")
    local pipe = assert(io.popen(command))
    local said = pipe:read("a")
    return pipe:close(), said
end

-- { what = off_by } of what was measured.
local function judged(said)
    local off = {}
    for what, off_by in said:gmatch("\n([%w_]+),[-%d.e+]+,[-%d.e+]+,[-%d.e+]+,[-%d.e+]+,([-%d.e+]+)") do
        off[what] = tonumber(off_by)
    end
    return off
end

local function write(path, text)
    local file = assert(io.open(path, "w"))
    assert(file:write(text) and file:close())
end

-- The reader first: the form as it is written, filled in with what the model says, is off by nothing; a value that is wrong by far is seen,
-- and so is a row that the form does not have.
os.execute("mkdir -p '" .. out .. "'")
local fine, said = run(out)
assert(fine, said)
local file = assert(io.open(out .. "/yardstick.csv"))
local form = file:read("a")
file:close()
-- Sizes as if they were known exactly, but for the wire's: one model less for each.
local filled = form:gsub("(%l+_mm,[%d.]+),[%d.]+", "%1,0"):gsub("(copper_mm,[%d.]+),0", "%1,0.0008")
for what, model in said:gmatch("\n([%w_]+),,,([-%d.e+]+),,") do
    filled = filled:gsub("(" .. what .. "),,", function(name)
        return name .. "," .. model .. ","
    end)
end
write(out .. "/same.csv", "# filled in by the test\n" .. filled)
fine, said = run(out, "same.csv")
assert(fine, said)
local off, count = judged(said), 0
for what, by in pairs(off) do
    count = count + 1
    assert(math.abs(by) < 0.05, what .. " is off by " .. by)
end
assert(count == 9, count .. " readings of nine were judged:\n" .. said)
write(out .. "/wrong.csv", (filled:gsub("gauss_3,%d+", "gauss_3,400")))
fine, said = run(out, "wrong.csv")
assert(fine and judged(said).gauss_3 < -MOST, said)
write(out .. "/other.csv", filled .. "gauss_7,900,15,a seventh\r\n")
fine, said = run(out, "other.csv")
assert(not fine and said:find("there is no 'gauss_7' in the form", 1, true), said)

-- The cases.
local cases, worst = 0, 0
for name in assert(io.popen("ls '" .. folder .. "'")):lines() do
    if name:match("%.csv$") then
        cases = cases + 1
        fine, said = run(folder, name)
        print(name .. "\n" .. said)
        assert(fine, said)
        for _, by in pairs(judged(said)) do
            worst = math.max(worst, math.abs(by))
        end
    end
end
print(cases .. " measured cases" .. (cases > 0 and ", off by at most " .. worst or ""))
assert(worst <= MOST, "the model is off by " .. worst .. " standard deviations")
