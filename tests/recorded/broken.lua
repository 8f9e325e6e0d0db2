-- broken.lua PROGRAM FOLDER: broken files, more than 100 of them, made here and read one by one under a limit of memory. Each must be
-- answered by a mistake that names it and a cure, with exit status 1: no limit reached, no signal, and nothing of it on the way.
-- Run by a plain lua5.4. SPDX-License-Identifier: GPL-3.0-or-later
local program, folder = arg[1], arg[2]
os.execute("rm -rf '" .. folder .. "' && mkdir -p '" .. folder .. "/in'")

local files = {} -- { name, bytes, call }

local function add(name, bytes, call)
    files[#files + 1] = { name = name, bytes = bytes, call = call }
end

-- ---- sound ----

-- The layout of WAV: Microsoft and IBM 1991, from memory.
local function wav(of)
    local channels, rate, bits, code = of.channels or 1, of.rate or 48000, of.bits or 16, of.code or 1
    local data = of.data or string.rep("\1\2", 4000)
    local fmt = string.pack("<I2I2I4I4I2I2", code, channels, rate, (rate * channels * bits // 8) & 0xffffffff, channels * bits // 8 & 0xffff, bits)
    local body = "WAVE" .. (of.before or "") .. "fmt " .. string.pack("<I4", of.fmt_size or #fmt) .. fmt .. "data"
        .. string.pack("<I4", of.data_size or #data) .. data
    return "RIFF" .. string.pack("<I4", of.size or #body) .. body
end

-- Floats of 32 bits with one that is no number among them.
local function floats(odd)
    return string.rep(string.pack("<f", 0.25), 100) .. string.pack("<I4", odd) .. string.rep(string.pack("<f", 0.25), 100)
end

local whole = wav{}
for _, length in ipairs{ 0, 1, 3, 4, 8, 11, 12, 15, 16, 20, 22, 24, 28, 34, 36, 40, 43, 44, 45, 46, 100, 1000, 4000, #whole - 2 } do
    add("truncated" .. length .. ".wav", whole:sub(1, length))
end
for _, odd in ipairs{ 0x7fc00000, 0xffc00000, 0x7f800000, 0xff800000, 0x7f800001, 0x7fffffff } do
    add(("not_finite_%x.wav"):format(odd), wav{ code = 3, bits = 32, data = floats(odd) })
end
for _, rate in ipairs{ 0, 1, 100, 7999, 768001, 0x7fffffff, 0x80000000, 0xffffffff } do
    add("rate" .. rate .. ".wav", wav{ rate = rate })
end
for _, channels in ipairs{ 0, 9, 64, 255, 1024, 32768, 65535 } do
    add("channels" .. channels .. ".wav", wav{ channels = channels })
end
for _, size in ipairs{ 8001, 9000, 1 << 20, 1 << 30, 0x7fffffff, 0x80000000, 0xfffffff0, 0xffffffff } do
    add("data_claims" .. size .. ".wav", wav{ data_size = size })
    add("riff_claims" .. size .. ".wav", wav{ size = size + 100 > 0xffffffff and 0xffffffff or size + 100 })
end
for _, size in ipairs{ 0, 1, 1000, 0xffffffff } do
    add("fmt_claims" .. size .. ".wav", wav{ fmt_size = size })
end
for _, bits in ipairs{ 0, 33, 64, 999, 65535 } do -- fewer than 8 stand in a byte, which is allowed
    add("bits" .. bits .. ".wav", wav{ bits = bits })
end
for _, code in ipairs{ 0, 4, 0x50, 0x1234, 0xffff } do
    add(("code%x.wav"):format(code), wav{ code = code })
end
add("no_data.wav", wav{ data = "" })
add("chunk_claims.wav", wav{ before = "LIST" .. string.pack("<I4", 0xffffff00) .. "INFO" })
add("chunk_of_4gb.wav", "RIFF" .. string.pack("<I4", 0xffffffff) .. "WAVEfmt " .. string.pack("<I4", 0xffffffff))

-- FLAC after RFC 9639, section 8.2: 16 bits for the least and the largest block, 24 for frames, 20 for the rate, 3 for channels.
local function flac(rate, channels, bits, total)
    local packed = rate << 44 | channels - 1 << 41 | bits - 1 << 36 | total
    return "fLaC\x80\0\0\x22" .. string.pack(">I2I2", 4096, 4096) .. "\0\0\0\0\0\0" .. string.pack(">I8", packed) .. string.rep("\0", 16)
end
for name, bytes in pairs{ bare = "fLaC", header = flac(48000, 2, 16, 48000), endless = flac(48000, 2, 16, 0xfffffffff),
    silent = flac(0, 1, 16, 100), garbage = flac(48000, 2, 16, 48000) .. string.rep("\xff\xf8\x55\xaa", 1000),
    zeros = flac(44100, 8, 24, 1 << 30) .. string.rep("\0", 5000), cut = flac(48000, 1, 16, 100):sub(1, 20) } do
    add("flac_" .. name .. ".flac", bytes)
end
add("text.wav", "this is a letter, not a sound\n")
add("zeros.wav", string.rep("\0", 10000))
add("ones.wav", string.rep("\xff", 10000))
add("ogg.wav", "OggS" .. string.rep("\0\xff", 500))
add("aiff.wav", "FORM\xff\xff\xff\xffAIFFCOMM\xff\xff\xff\xff")
add("caf.wav", "caff\0\1\0\0desc\xff\xff\xff\xff\xff\xff\xff\xff")
add("w64.wav", "riff\x2e\x91\xcf\x11\xa5\xd6\x28\xdb\x04\xc1\0\0" .. string.rep("\xff", 60))
add("rf64.wav", "RF64\xff\xff\xff\xffWAVEds64" .. string.pack("<I4", 28) .. string.rep("\xff", 28))
add("mat.wav", "MATLAB 5.0 MAT-file" .. string.rep(" ", 105) .. "\0\1IM" .. string.rep("\xff", 50))
add("script.wav", "-- a script\nreturn ll\n")

-- ---- tables ----

math.randomseed(7)
local function noise(count, from, to)
    local list = {}
    for i = 1, count do
        list[i] = string.char(math.random(from, to))
    end
    return table.concat(list)
end
for k = 1, 8 do
    add("binary" .. k .. ".csv", noise(200 * k, 0, 255))
end
add("wav.csv", whole)
add("elf.csv", "\x7fELF\2\1\1\0" .. noise(300, 0, 255))
add("wide.csv", "\xff\xfea\0,\0b\0\n\0")
add("wide_big.csv", "\xfe\xff\0a\0,\0b")
add("empty.csv", "")
add("blank.csv", "\n\n   \n")
add("remarks.csv", "# nothing\n# but remarks\n")
add("words.csv", "a,b\nc,d\n")
add("one_line.csv", string.rep("1,", 20000))
add("many_lines.csv", string.rep("1,2\n", 200001))
add("many_cells.csv", string.rep(string.rep("1,", 999) .. "1\n", 1001))
add("quote.csv", 'a,b\n1,"2\n3,4\n')
add("after_quote.csv", 'a,b\n1,"2"3\n3,4\n')
add("ragged.csv", "a,b\n1,2\n3\n4,5\n")
add("nan.csv", "a,b\n1,nan\n3,4\n5,6\n")
add("infinite.csv", "a,b\n1,inf\n3,4\n5,6\n")
add("beyond.csv", "a,b\n1,1e400\n3,4\n")
add("overload.csv", "f,r\n100,OL\n200,7000\n300,7100\n")
add("hexadecimal.csv", "f,r\n0x10,1\n2,3\n4,5\n")
add("thousands.csv", "f;r\n1 000;1\n2;3\n4;5\n")
add("twice.csv", "f,f\n1,2\n")
add("large.csv", string.rep("1,2\n", 5000000))

-- ---- each of them ----

local faults = 0
local function tell(text)
    faults = faults + 1
    io.stderr:write(text, "\n")
end

local function write(path, bytes)
    local file = assert(io.open(path, "wb"))
    file:write(bytes)
    file:close()
end

local function shown(path)
    local file = assert(io.open(path, "rb"))
    local text = file:read("a")
    file:close()
    return text
end

for _, file in ipairs(files) do
    local reads = file.name:match("%.csv$") and "read_table" or "recording"
    write(folder .. "/in/" .. file.name, file.bytes)
    write(folder .. "/try.lua", ("ll.%s{ file = %q }\n"):format(reads, file.name))
    local _, how, status = os.execute(("cd '%s' && '%s' run --time-limit 30 --memory-limit 200 --in in try.lua > out.txt 2> said.txt"):format(folder, program))
    local said = shown(folder .. "/said.txt")
    if how ~= "exit" or status ~= 1 then
        tell(("%s: %s %s, and not status 1: %s"):format(file.name, how, status, said))
    elseif not said:find("try.lua:1: " .. reads, 1, true) or #said > 600 or said:find("[%z\1-\8\14-\31]") then
        tell(file.name .. ": no clear mistake: " .. said:sub(1, 300))
    end
    os.remove(folder .. "/in/" .. file.name)
end
print(#files .. " broken files")
os.exit(faults == 0 and #files >= 100)
