-- docs.lua PROGRAM SOURCES SCRATCH - what the manual says is so: its pieces are scripts without mistakes, its tables are printed by
-- them, the words it names are there, nothing is said to be missing that is not, and a figure that stands in two places is one.
-- Run by a plain lua5.4.
-- SPDX-License-Identifier: GPL-3.0-or-later
local program, sources, scratch = arg[1], arg[2], arg[3]
local faults = 0

local function tell(text)
  faults = faults + 1
  io.stderr:write(text, "\n")
end

local function read(path)
  local file = assert(io.open(sources .. "/" .. path))
  local text = file:read("a")
  file:close()
  return text
end

-- All that the command prints, and whether it was content.
local function run(command)
  local pipe = assert(io.popen("cd '" .. scratch .. "' && " .. command .. " 2>&1"))
  local text = pipe:read("a")
  return text, (pipe:close())
end

local pages = { "README.md", "DEVELOPERS.md" }
for path in run("ls '" .. sources .. "/docs'"):gmatch("%S+%.md") do
  pages[#pages + 1] = "docs/" .. path
end

-- ---- pieces and their tables ----

-- Blocks of a page in their order: { kind = "lua", text = ... }.
local function blocks_of(text)
  local list = {}
  for kind, block in text:gmatch("\n```(%a*)\n(.-)\n```") do
    list[#list + 1] = { kind = kind, text = block }
  end
  return list
end

-- The number's value and the size of its last digit.
local function number_of(word)
  local decimals = word:match("^%-?%d+%.(%d+)$") or (word:match("^%-?%d+$") and "")
  return decimals and tonumber(word), decimals and 10 ^ -#decimals
end

-- The same words, and the same figures but for one in the last digit: that much may change with the mesh.
local function alike(line, wanted)
  local next_word = line:gmatch("%S+")
  for word in wanted:gmatch("%S+") do
    local found = next_word()
    local a, digit = number_of(word)
    local b = found and number_of(found)
    if not found or found ~= word and not (a and b and math.abs(a - b) < 1.5 * digit) then
      return false
    end
  end
  return next_word() == nil
end

local function lines_of(text)
  local list = {}
  for line in text:gmatch("[^\n]+") do
    list[#list + 1] = line
  end
  return list
end

-- True when the lines stand in the answer, one below the other.
local function is_printed(answer, wanted)
  local have, want = lines_of(answer), lines_of(wanted)
  for start = 0, #have - #want do
    local k = 1
    while k <= #want and alike(have[start + k], want[k]) do
      k = k + 1
    end
    if k > #want then
      return true
    end
  end
  return false
end

-- Runs the pieces that stand above a table, as a reader would have them by then, and looks for it.
local function check_table(page, script, wanted)
  local file = assert(io.open(scratch .. "/so_far.lua", "w"))
  file:write(script)
  file:close()
  local answer = run("'" .. program .. "' run --quiet --out . so_far.lua")
  if not is_printed(answer, wanted) then
    tell(page .. ": this is not printed by what stands above it:\n" .. wanted .. "\nbut\n" .. answer)
  end
end

local function check_pieces(page)
  local script = ""
  for _, block in ipairs(blocks_of(read(page))) do
    if block.kind == "lua" then
      script = script .. block.text .. "\n"
    elseif block.kind == "text" and script ~= "" then
      check_table(page, script, block.text)
    end
  end
  if script ~= "" then
    local file = assert(io.open(scratch .. "/whole.lua", "w"))
    file:write(script)
    file:close()
    local said, fine = run("'" .. program .. "' check whole.lua")
    if not fine or said:find(": odd: ", 1, true) then
      tell(page .. ": its pieces are no script without mistakes:\n" .. said)
    end
  end
end

-- ---- words ----

local function words_of_program()
  local file = assert(io.open(scratch .. "/words.lua", "w"))
  file:write([[for _, row in ipairs(ll.words()) do print((string.gsub(row.call, "^ll%.", "")):match("^[%w_]+")) end
for _, noun in ipairs{ "pickup", "network", "table", "block", "wire", "string", "material", "diagnosis", "job", "recording" } do
    for _, row in ipairs(ll.words(noun)) do print(":" .. row.call:match("[:.]([%w_]+)")) end
end]])
  file:close()
  local known = {}
  for word in run("'" .. program .. "' run words.lua"):gmatch("%S+") do
    known[word] = true
  end
  return known
end

local owners = { p = true, n = true, t = true, pickup = true }

local function check_words(page, text, known)
  text = text:gsub("```.-```", "") -- pieces are run
  for name in text:gmatch("%f[%w_]ll%.([%a_][%w_]*)") do
    if not known[name] then
      tell(page .. ": names ll." .. name .. ", which the program does not have")
    end
  end
  for owner, name in text:gmatch("`([%a_]+):([%a_][%w_]*)") do
    if owners[owner] and not known[":" .. name] then
      tell(page .. ": names " .. owner .. ":" .. name .. ", which the program does not have")
    end
  end
end

-- ---- what is said to be missing ----

-- A claim that something is not there yet grows old unseen: none may stand, unless it is listed here with the line that it stands in.
local absences = { "not there yet", "not yet", "does not have them", "to be done", "will come", "planned", "a later version", "TODO" }
local allowed = {}

local function check_absences(page, text)
  for line in text:gmatch("[^\n]+") do
    for _, phrase in ipairs(absences) do
      if line:lower():find(phrase:lower(), 1, true) and not allowed[line] then
        tell(page .. ": says that something is missing; is it still? " .. line)
      end
    end
  end
end

-- ---- figures that stand twice ----

-- A figure: where it is said, by a pattern that catches it, and where it comes from; `scale` makes them one unit.
local twice = {
  { "docs/language.md", "`%-%-time%-limit S` | seconds that a script may take | (%d+)", "bindings/host/options.c", "time_limit_s = (%d+)" },
  { "docs/language.md", "`%-%-memory%-limit MB` | memory that a script may take | (%d+)", "bindings/host/options.c", "memory_limit_mb = (%d+)" },
  { "bindings/host/options.c", "seconds that a script may take %((%d+)%)", "bindings/host/options.c", "time_limit_s = (%d+)" },
  { "bindings/host/options.c", "memory that a script may take %((%d+)%)", "bindings/host/options.c", "memory_limit_mb = (%d+)" },
  { "docs/many-machines.md", "stamp: lodeloom ([%d.]+),", "CMakeLists.txt", "project%(lodeloom VERSION ([%d.]+)" },
  { "docs/mesh-error.md", "what was asked for %(([%d.]+) %%", "engine/reading/estimator.c", "usual_accuracy = ([%d.]+)", scale = 100 },
  { "bindings/module/nouns/pickup.c", "mesh error asked for, of a reading's largest value %(default ([%d.]+)%)", "engine/reading/estimator.c",
    "usual_accuracy = ([%d.]+)", scale = 100 },
  { "docs/mesh-error.md", "two meshes whose lengths differ by ([%d.]+)%.", "engine/reading/estimator.c", "double ratio = ([%d.]+)" },
  { "docs/mesh-error.md", "moved on by ([%d.]+) of the last difference", "engine/reading/estimator.c", "extrapolation = ([%d.]+)" },
  { "docs/mesh-error.md", "\n    ([%d.]+) |d| %+", "engine/reading/estimator.c", "own_share = ([%d.]+)" },
  { "docs/mesh-error.md", "|d| %+ ([%d.]+) %(1 %+ 1/n%)", "engine/reading/estimator.c", "common_share = ([%d.]+)" },
  { "docs/mesh-error.md", "root mean square of all n d %+ ([%d.]+) %%", "engine/reading/estimator.c", "least_share = ([%d.e-]+)", scale = 100 },
  { "docs/diagnosis.md", "magnets ([%d.]+) %% each", "bindings/lua/bench_faults.lua", "what = \"strength left\".-spread = ([%d.]+)", scale = 100 },
  { "docs/diagnosis.md", "resistance of wire ([%d.]+) %%", "bindings/lua/bench_spread.lua", "says = \"wire\", sd = ([%d.]+)", scale = 100 },
  { "docs/diagnosis.md", "resistance of wire [%d.]+ %%, turns ([%d.]+) %%", "bindings/lua/bench_spread.lua",
    "says = \"number of turns\", sd = ([%d.]+)", scale = 100 },
  { "docs/diagnosis.md", "pole heights ([%d.]+) mm", "bindings/lua/bench_spread.lua", "HEIGHT = ([%d.]+)" },
  { "docs/diagnosis.md", "pole heights ([%d.]+) mm", "bindings/lua/bench_faults.lua", "HEIGHT_SPREAD = ([%d.]+)" },
  { "docs/diagnosis.md", "with a coupling of ([%d.]+)", "engine/bench/coils.h", "LL_SHORTED_COUPLING ([%d.]+)" },
  { "docs/diagnosis.md", "coupling of shorted turns | ([%d.]+)", "engine/bench/coils.h", "LL_SHORTED_COUPLING ([%d.]+)" },
  { "docs/diagnosis.md", "compete like any other, with ([%d.]+) %%", "bindings/lua/bench_weigh.lua", "SOUND, .- = ([%d.]+)", scale = 100 },
}

local function check_twice()
  for _, row in ipairs(twice) do
    local said, of = read(row[1]):gsub("%s*\n%s*(%S)", "\n%1"):match(row[2]) or read(row[1]):match(row[2]), read(row[3]):match(row[4])
    if not said or not of then
      tell((said and row[3] or row[1]) .. ": no figure stands where '" .. (said and row[4] or row[2]) .. "' looks for it")
    elseif tonumber(said) and math.abs(tonumber(said) - tonumber(of) * (row.scale or 1)) > 1e-9 or not tonumber(said) and said ~= of then
      tell(row[1] .. " says " .. said .. ", and " .. row[3] .. " has " .. of)
    end
  end
end

-- What is measured again and again stands in one page, to which others point.
local once = { ["without an answer"] = "docs/mesh-error.md", ["Newton steps: "] = "docs/mesh-error.md" }

local function check_once(page, text)
  for phrase, home in pairs(once) do
    if page ~= home and text:find(phrase, 1, true) then
      tell(page .. ": '" .. phrase .. "' belongs into " .. home .. " alone")
    end
  end
end

-- "some forty": within a quarter.
local function check_count_of_materials()
  local count = 0
  for _ in run("'" .. program .. "' materials"):gmatch("\n[^\n]+  ") do
    count = count + 1
  end
  if not read("README.md"):find("some forty listed\nmaterials", 1, true) and not read("README.md"):find("some forty listed materials", 1, true)
    or count < 30 or count > 55 then
    tell("README.md: some forty listed materials, and there are about " .. count)
  end
end

local known = words_of_program()
for _, page in ipairs(pages) do
  local text = read(page)
  if page ~= "docs/mistakes.md" then -- which has a test of its own
    check_pieces(page)
    check_words(page, text, known)
  end
  check_absences(page, text)
  check_once(page, text)
end
check_twice()
check_count_of_materials()
os.exit(faults == 0)
