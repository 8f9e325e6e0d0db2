-- first_timer.lua PROGRAM SESSION PAGE FOLDER: follows docs/sound-card.md to the letter, in an empty folder, with recordings that card_files
-- made up in place of the recorder, and compares the peak that it prints with what was put in. Run by a plain lua5.4.
-- SPDX-License-Identifier: GPL-3.0-or-later
local program, session, page, folder = arg[1], arg[2], arg[3], arg[4]

local function sh(command)
    local pipe = assert(io.popen("cd '" .. folder .. "' && { " .. command .. "; } 2>&1"))
    local text = pipe:read("a")
    return text, (pipe:close())
end

local function read(path)
    local file = assert(io.open(path, "rb"))
    local text = file:read("a")
    file:close()
    return text
end

os.execute("rm -rf '" .. folder .. "' && mkdir -p '" .. folder .. "/recordings' '" .. folder .. "/bin'")
os.execute("ln -s '" .. program .. "' '" .. folder .. "/bin/lodeloom'")

-- What the page has the technician record and save.
local saved = 0
for name in read(page):gmatch("\n| `([%w_]+%.wav)` | ") do
    assert(os.execute("cp '" .. session .. "/" .. name .. "' '" .. folder .. "/recordings/'"))
    saved = saved + 1
end
assert(saved == 5, saved)

-- A file is named above its piece; commands are given as they stand.
local printed = ""
for name, kind, block in read(page):gmatch("\n(`?[%w_%.]*`?)\n?\n?```(%a+)\n(.-)\n```") do
    local file = name:match("^`([%w_]+%.lua)`$")
    if kind == "lua" and file then
        local out = assert(io.open(folder .. "/" .. file, "w"))
        out:write(block, "\n")
        out:close()
    elseif kind == "sh" then
        local text, fine = sh("PATH=$PWD/bin:$PATH; " .. block)
        assert(fine, block .. "\n" .. text)
        printed = printed .. text
    end
end

local truth = {}
for name, value in read(session .. "/truth.csv"):gmatch("([%w_]+),([%d.eE+-]+)") do
    truth[name] = tonumber(value)
end
for _, said in ipairs{ "The peak is at (%d+) Hz, give or take (%d+) Hz%.", "By one input the peak is at (%d+) Hz, give or take (%d+) Hz%." } do
    local peak, band = printed:match(said)
    assert(peak, printed)
    assert(math.abs(peak - truth.peak) <= 0.005 * truth.peak, printed)
    assert(math.abs(peak - truth.peak) <= 2 * band + 1, printed)
end
for _, picture in ipairs{ "wiring.png", "curve.png" } do
    assert(read(folder .. "/" .. picture):sub(1, 8) == "\137PNG\r\n\26\n", picture)
end
-- The signal: 24 bits, two channels that hold the same, -6 dB.
local wav = read(folder .. "/sweep.wav")
local channels, rate, _, _, bits = string.unpack("<I2I4I4I2I2", wav, 23)
assert(channels == 2 and rate == 48000 and bits == 24)
local highest = 0
for at = wav:find("data", 1, true) + 8, #wav - 5, 6 do
    local left, right = string.unpack("<i3i3", wav, at)
    assert(left == right)
    highest = math.max(highest, math.abs(left))
end
assert(math.abs(20 * math.log(highest / 2 ^ 23, 10) + 6) < 0.01, highest)
print("peak of " .. truth.peak .. " Hz found by two inputs and by one")
