-- book.lua HTML SOURCES - the book holds every page, and its search finds where a repairer's questions are answered: the words of a
-- question, as the index has them, meet on the page that answers it. Run by a plain lua5.4.
-- SPDX-License-Identifier: GPL-3.0-or-later
local html, sources = arg[1], arg[2]

local function read(path)
  local file = assert(io.open(path))
  local text = file:read("a")
  file:close()
  return text
end

local index = read(html .. "/searchindex.js")
local pages = {}
for name in index:match('"docnames": %[(.-)%]'):gmatch('"(.-)"') do
  pages[#pages + 1] = name
end

for path in io.popen("ls '" .. sources .. "/docs'"):read("a"):gmatch("(%S+)%.md") do
  if path ~= "README" then
    assert(read(html .. "/" .. path .. ".html"):find("searchbox", 1, true), path)
    local listed = false
    for _, name in ipairs(pages) do
      listed = listed or name == path
    end
    assert(listed, path .. " is not in the search's index")
  end
end

-- Pages on which the word stands, by its stem: the index has stems as keys, each with one page or a list.
local function found(word)
  local list = {}
  for _, part in ipairs{ index:match('"terms": (%b{})'), index:match('"titleterms": (%b{})') } do
    for stem, ids in part:gmatch('"(%a+)": (%[?[%d, ]+%]?)') do
      if #stem >= 3 and word:sub(1, #stem) == stem and #word - #stem <= 4 then
        for id in ids:gmatch("%d+") do
          list[pages[tonumber(id) + 1]] = true
        end
      end
    end
  end
  return list
end

local questions = {
  { "questions", "magnets", "compass" }, { "questions", "loud" }, { "questions", "warble" }, { "questions", "thin", "sound" },
  { "questions", "hum" }, { "questions", "weak", "magnet" }, { "questions", "wire", "bobbin" }, { "questions", "cable", "tone" },
  { "sound-card", "resistor", "recorder" }, { "cautions", "wax" }, { "glossary", "potting" }, { "many-machines", "sweep" },
}
for _, question in ipairs(questions) do
  for k = 2, #question do
    assert(found(question[k])[question[1]], question[k] .. " is not found on " .. question[1])
  end
end
assert(not next(found("zeppelin")))
print(#pages .. " pages, " .. #questions .. " questions found")
