-- Whether the sources keep to the house as DEVELOPERS.md tells it, and to units in the names of columns: lua5.4 tests/house/house.lua SOURCES [--table]
-- A unit is a header with its source, and with all files whose names go on after its own: system.h, system_data.h, system_field.c.
-- It stands on the floor above the highest of those in its own room that it includes.
-- SPDX-License-Identifier: GPL-3.0-or-later
local most_floors = 8

local function room_of(path)
  return path:match("^(.*)/[^/]*$")
end

local function unit_of(files, path)
  local unit = path:gsub("%.[ch]$", "")
  local shorter = unit
  while shorter:match("_[^_/]*$") do
    shorter = shorter:gsub("_[^_/]*$", "")
    if files[shorter .. ".h"] then
      unit = shorter
    end
  end
  return unit
end

-- The rooms in their order, from the first table of the page.
local function rooms_of(page)
  local rooms, place = {}, {}
  for room in page:gmatch("\n| `([eb][^` ]*/[^` ]*)` |") do
    rooms[#rooms + 1] = room
    place[room] = #rooms
  end
  return rooms, place
end

-- What the public headers are, from the engine's list.
local function public_of(lists)
  local public = {}
  for name in (lists:match("LL_PUBLIC_HEADERS%s(.-)%)") or ""):gmatch("%S+") do
    public["engine/" .. name] = true
  end
  return public
end

-- The file that a name in quotes stands for; nil for one that is made by the build or lies elsewhere.
local function resolve(files, from, name)
  for _, path in ipairs{ room_of(from) .. "/" .. name, "engine/" .. name, "bindings/" .. name } do
    if files[path] then
      return path
    end
  end
end

-- Makers of tables in Lua declare their columns (core.declares), but for lists of words and for what has the columns of others.
local may_not_declare = { ["columns.lua"] = true, ["table.lua"] = true, ["help.lua"] = true, ["compare.lua"] = true,
  ["read_table.lua"] = true, ["sweep_rows.lua"] = true, ["materials.lua"] = true }

local function undeclared(files, tell)
  for path, content in pairs(files) do
    local name = path:match("^bindings/lua/(.*%.lua)$")
    if name and not may_not_declare[name] and ("\n" .. content):gsub("\n%s*%-%-[^\n]*", "\n"):find("%f[%w]%a+%.table[({]") then
      tell(path .. " makes a table whose columns are not declared: core.declares, as beside it")
    end
  end
end

-- Calls found(from, to) for each include between two of the files, in the order of their names.
local function each_include(files, found)
  local names = {}
  for path in pairs(files) do
    if path:match("^[eb].*%.[ch]$") and not path:match("^engine/forward/") then
      names[#names + 1] = path
    end
  end
  table.sort(names)
  for _, path in ipairs(names) do
    for name in files[path]:gmatch('#include "([^"]+)"') do
      local to = resolve(files, path, name)
      if to then
        found(path, to)
      end
    end
  end
  return names
end

-- Numbers whose names end in what is no unit.
local plain = { newton_steps = true, mu_r = true, memory_mb = true, load_line = true }

-- Calls found(from, column) for each column that C sets to a number and whose last word is no unit of scripts.
local function each_odd_column(files, found)
  local is_unit = {}
  for suffix in (files["bindings/module/base/units.h"] or ""):gmatch('X%(UNIT_[A-Z_]+, "(%l+)"') do
    is_unit[suffix] = true
  end
  for path, content in pairs(files) do
    for column in path:match("%.c$") and content:gmatch('bind_set%(L, "([^"]+)"') or function() end do
      local last = column:match("_([^_]+)$")
      if last and not is_unit[last] and not plain[column] then
        found(path, column)
      end
    end
  end
end

-- Calls found(header, name) for each function that an internal header declares and that stands nowhere else but where it is defined.
local function each_dead_function(files, public, found)
  local count, bare = {}, {}
  for path, content in pairs(files) do
    if path:match("%.[ch]$") then
      bare[path] = content:gsub("/%*.-%*/", " ")
      for name in bare[path]:gmatch("[%a_][%w_]*") do
        count[name] = (count[name] or 0) + 1
      end
    end
  end
  for path, content in pairs(bare) do
    local internal = path:match("^[eb].*%.h$") and not public[path]
    for line, name in (internal and content or ""):gmatch("\n(%a[^\n(]-)([%w_]+)%(") do
      if not line:match("^static") and not line:match("^typedef") and count[name] < 3 then
        found(path, name)
      end
    end
  end
end

-- What a room's page says of its files, in a table that begins with "file": calls stale(name) for one that is not there, and
-- unsaid(unit) for a unit that the page does not name.
local function each_wrong_name(files, room, stale, unsaid)
  local page, named = files[room .. "/README.md"] or "", {}
  local list = page:match("| file.-\n(.-)\n\n") or page:match("| file.-\n(.*)$")
  for cell in (list or ""):gmatch("\n| ([^|]*) |") do
    for name in cell:gmatch("`([^`*]+)`") do
      local path = room .. "/" .. name
      if not (files[path] or files[path .. ".c"] or files[path .. ".h"] or files[path .. ".lua"]) then
        stale(name)
      end
    end
  end
  for name in page:gmatch("`([%w_%.]+)`") do
    named[name:match("^[^.]*")] = true
  end
  for path in pairs(list and files or {}) do -- each unit is said once
    local unit = room_of(path) == room and path:match("^(.*)%.%l+$")
    local stem = unit and unit_of(files, unit):match("[^/]*$")
    local family = stem and stem:match("^%w+_") -- `reading_*` names them all
    if stem and not named[stem] and not path:match("README") and not (family and page:find("`" .. family .. "*`", 1, true)) then
      named[stem] = true
      unsaid(stem)
    end
  end
end

-- The floor of each unit of a room; a circle is told as a path through its units.
local function floors_of(below, tell)
  local floor, under_way = {}, {}
  local function climb(unit, path)
    if under_way[unit] then
      tell("a circle: " .. path .. unit)
      return 0
    end
    if not floor[unit] then
      under_way[unit] = true
      local highest = 0
      for _, other in ipairs(below[unit]) do
        highest = math.max(highest, climb(other, path .. unit .. " -> "))
      end
      under_way[unit] = nil
      floor[unit] = highest + 1
    end
    return floor[unit]
  end
  local units = {}
  for unit in pairs(below) do
    units[#units + 1] = unit
  end
  table.sort(units)
  local most, tallest = 0, ""
  for _, unit in ipairs(units) do
    if climb(unit, "") > most then
      most, tallest = floor[unit], unit
    end
  end
  return most, tallest
end

-- All that is wrong with the files, path -> content, as a list of texts; and a line of figures for each room.
local function examine(files)
  local faults, figures = {}, {}
  local function tell(text)
    faults[#faults + 1] = text
  end
  local rooms, place = rooms_of(files["DEVELOPERS.md"])
  local public = public_of(files["engine/CMakeLists.txt"])
  local below, count = {}, {}
  for _, room in ipairs(rooms) do
    below[room], count[room] = {}, 0
    if not files[room .. "/README.md"] then
      tell(room .. " has no README.md: half a page with its question, its data, its rules, its files in reading order")
    end
  end
  for _, room in ipairs(rooms) do
    each_wrong_name(files, room, function(name)
      tell(room .. "/README.md lists " .. name .. ", which is not there")
    end, function(unit)
      tell(room .. "/README.md does not name " .. unit)
    end)
  end
  for path, content in pairs(files) do
    if path:match("^[eb].*%.[ch]$") and content:find("#include <gsl/", 1, true) and path ~= "engine/base/gsl.h"
      and not content:find('#include "base/gsl.h"', 1, true) then
      tell(path .. " uses GSL without base/gsl.h, which keeps GSL from ending the process")
    end
  end
  each_odd_column(files, function(from, column)
    tell(from .. " sets the column " .. column .. ", whose last word is no unit: name one of base/units.h")
  end)
  each_dead_function(files, public, function(header, name)
    tell(header .. " declares " .. name .. ", which nobody calls: take it out")
  end)
  undeclared(files, tell)
  local names = each_include(files, function(from, to)
    local own, other = place[room_of(from)], place[room_of(to)]
    if own and other and other > own then
      tell(from .. " includes " .. to .. ", of a room below its own: move what both need upwards")
    end
    if from:match("^bindings/") and to:match("^engine/") and not public[to] then
      tell(from .. " includes " .. to .. ", which is internal: only what engine/CMakeLists.txt lists is public")
    end
    if own and own == other and unit_of(files, from) ~= unit_of(files, to) then
      local units = below[rooms[own]]
      units[unit_of(files, from)] = units[unit_of(files, from)] or {}
      table.insert(units[unit_of(files, from)], unit_of(files, to))
    end
  end)
  for _, path in ipairs(names) do
    local room = room_of(path)
    if not place[room] then
      tell(path .. " stands in a room that the table of DEVELOPERS.md does not have")
    else
      below[room][unit_of(files, path)] = below[room][unit_of(files, path)] or {}
      count[room] = count[room] + 1
    end
  end
  for _, room in ipairs(rooms) do
    local most, tallest = floors_of(below[room], tell)
    if most > most_floors then
      tell(room .. " is " .. most .. " floors deep at " .. tallest .. "; " .. most_floors .. " are enough")
    end
    figures[#figures + 1] = string.format("%-26s %3d files %2d floors", room, count[room], most)
  end
  return faults, figures
end

-- ---- the check itself is checked: each fault is found in a small house that has it and nothing else ----

local function small_house(changes)
  local files = {
    ["DEVELOPERS.md"] = "\n| `engine/low` | x |\n| `engine/high` | x |\n| `bindings/module` | x |\n",
    ["engine/CMakeLists.txt"] = "set(LL_PUBLIC_HEADERS\n low/a.h)",
    ["engine/low/README.md"] = "", ["engine/high/README.md"] = "", ["bindings/module/README.md"] = "",
    ["engine/low/a.h"] = "", ["engine/high/b.h"] = '#include "low/a.h"', ["engine/high/b.c"] = '#include "high/b.h"',
    ["bindings/module/m.c"] = '#include "low/a.h"',
  }
  for path, content in pairs(changes) do
    files[path] = content or nil
  end
  return files
end

local deep = {}
for k = 1, most_floors + 1 do
  deep["engine/low/f" .. k .. ".h"] = k > 1 and '#include "low/f' .. k - 1 .. '.h"' or ""
end

local function check_the_check()
  assert(#examine(small_house{}) == 0, "a sound house has faults: " .. table.concat(examine(small_house{}), "\n"))
  for what, changes in pairs{
    ["not declared"] = { ["bindings/lua/x.lua"] = 'local t = ll.table{ columns = { "a" } }' },
    ["of a room below its own"] = { ["engine/low/a.h"] = '#include "high/b.h"', ["engine/high/b.h"] = "" },
    ["a circle"] = { ["engine/low/a.c"] = '#include "low/c.h"', ["engine/low/c.h"] = '#include "low/a.h"' },
    ["floors deep"] = deep,
    ["has no README.md"] = { ["engine/low/README.md"] = false },
    ["which is internal"] = { ["bindings/module/m.c"] = '#include "high/b.h"' },
    ["does not have"] = { ["engine/cellar/x.c"] = "" },
    ["is no unit"] = { ["bindings/module/m.c"] = '#include "low/a.h"\nbind_set(L, "bz_tesla", b); bind_set(L, "turns", n);' },
    ["which is not there"] = { ["engine/low/README.md"] = "| file | holds |\n| --- | --- |\n| `a`, `gone` | x |\n" },
    ["does not name"] = { ["engine/low/README.md"] = "| file | holds |\n| --- | --- |\n| `a` | x |\n", ["engine/low/k.c"] = "" },
    ["nobody calls"] = { ["engine/low/d.h"] = "\nint ll_low(int a);\n", ["engine/low/d.c"] = "int ll_low(int a)\n{\n    return a;\n}\n" },
    ["uses GSL"] = { ["engine/high/b.c"] = "#include <gsl/gsl_math.h>" },
  } do
    local faults = examine(small_house(changes))
    assert(#faults == 1 and faults[1]:find(what, 1, true), what .. " was not found: " .. table.concat(faults, "\n"))
  end
end

local function read_sources(root)
  local files = {}
  local list = assert(io.popen("cd '" .. root .. "' && find engine bindings tests -name '*.[ch]' -o -name README.md -o -path 'bindings/*.lua'"))
  local names = { "DEVELOPERS.md", "engine/CMakeLists.txt" }
  for name in list:lines() do
    names[#names + 1] = name
  end
  assert(list:close())
  for _, name in ipairs(names) do
    local file = assert(io.open(root .. "/" .. name))
    files[name] = file:read("a")
    file:close()
  end
  return files
end

check_the_check()
local faults, figures = examine(read_sources(arg[1]))
if arg[2] == "--table" then
  print(table.concat(figures, "\n"))
end
for _, fault in ipairs(faults) do
  print(fault)
end
os.exit(#faults == 0)
