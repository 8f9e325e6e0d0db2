-- Whether the shared library shows what the public headers declare, and no more: lua5.4 exports.lua SOURCES LIBRARY
-- SPDX-License-Identifier: GPL-3.0-or-later
local sources, library = arg[1], arg[2]

local function read(path)
  local file = assert(io.open(path))
  local text = file:read("a")
  file:close()
  return text
end

-- Names followed by a bracket, and values, outside comments, bodies of inline functions and macros.
local function declared_in(text, names, missing)
  text = text:gsub("/%*.-%*/", ""):gsub("\\\n", " "):gsub("\n#[^\n]*", "\n"):gsub("static inline[^{]*%b{}", "")
  if not text:find("LL_API_BEGIN", 1, true) and text:find("%f[%w]ll_[%w_]+%(") then
    missing[#missing + 1] = "functions outside LL_API_BEGIN and LL_API_END"
  end
  for name in text:gmatch("%f[%w_](ll_[%w_]+)%(") do
    names[name] = true
  end
  for values in text:gmatch("\nextern const ll_[%w_]+([^;]*);") do
    for name in values:gmatch("ll_[%w_]+") do
      names[name] = true
    end
  end
end

local faults, declared, shown = {}, {}, {}
for header in read(sources .. "/engine/CMakeLists.txt"):match("LL_PUBLIC_HEADERS%s(.-)%)"):gmatch("%S+%.h") do
  local missing = {}
  declared_in("\n" .. read(sources .. "/engine/" .. header), declared, missing)
  for _, what in ipairs(missing) do
    faults[#faults + 1] = header .. ": " .. what
  end
end
local symbols = assert(io.popen("nm -D --defined-only '" .. library .. "'"))
for name in symbols:read("a"):gmatch("%x+ %u ([%w_]+)\n") do
  shown[name] = true
end
assert(symbols:close(), "nm reads no library")
for name in pairs(declared) do
  faults[#faults + 1] = not shown[name] and name .. " is declared in a public header and not in the library" or nil
end
for name in pairs(shown) do
  faults[#faults + 1] = not declared[name] and name .. " is shown by the library and in no public header" or nil
end
assert(next(shown), "the library shows nothing")
table.sort(faults)
print(table.concat(faults, "\n"))
os.exit(#faults == 0)
