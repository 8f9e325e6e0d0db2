-- report.lua - ll.report: one page about a job, for the customer and for the next technician.
--
-- As HTML it is one file that loads nothing from anywhere: drawings and plots stand in it as SVG, sounds as data. As
-- text it has the tables, the work and the cautions.
-- SPDX-License-Identifier: GPL-3.0-or-later
local ll, core = ...
local concat, find, gsub = table.concat, string.find, string.gsub
local byte, sub = string.byte, string.sub
local type, pcall = core.type, core.pcall

-- ---- pictures and sounds as text ----

-- Runs f with every file that it writes kept here instead; gives the only file's bytes, or nothing and why not.
local function captured(f)
    core.captured = {}
    local fine, message = pcall(f)
    local files = core.captured
    core.captured = nil
    local _, bytes = next(files)
    return fine and bytes or nil, message
end

local LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"

-- RFC 4648. Groups of three bytes are four letters.
local function base64(bytes)
    local letter, pieces = {}, {}
    for k = 0, 63 do
        letter[k] = sub(LETTERS, k + 1, k + 1)
    end
    for at = 1, #bytes, 3 do
        local a, b, c = byte(bytes, at, at + 2)
        local word = a << 16 | (b or 0) << 8 | (c or 0)
        pieces[#pieces + 1] = letter[word >> 18] .. letter[word >> 12 & 63]
            .. (b and letter[word >> 6 & 63] or "=") .. (c and letter[word & 63] or "=")
    end
    return concat(pieces)
end

-- An SVG as it stands in a page: without the XML head, its names its own, for two pictures may use the same.
local function inline(svg, number)
    svg = gsub(svg, "^.-<svg", "<svg", 1)
    local own = "f" .. core.integer(number) .. "-"
    svg = gsub(svg, ' id="', ' id="' .. own)
    svg = gsub(svg, 'href="#', 'href="#' .. own)
    return (gsub(svg, "url%(#", "url(#" .. own))
end

local function without(fields, ...)
    local copy = {}
    for key, value in next, fields do
        copy[key] = value
    end
    for _, key in ipairs({ ... }) do
        copy[key] = nil
    end
    return copy
end

-- ---- cautions ----

-- Each belongs to a page when one of its words begins a word of what was done, or is in what was listened to or read by ear; the last
-- one to all pages. In full: docs/cautions.md.
local cautions = {
    { done = { "magnet", "charg" },
        says = "Magnets are brittle and jump together: glasses, one at a time, away from pacemakers and cards. A "
        .. "charger's capacitor kills; keep to its maker's rules." },
    { done = { "wax", "pot it", "potted", "potting", "loose turns" },
        says = "Wax burns: double boiler, thermometer at 60 to 70 degrees C, never alone, no flame, lid at hand; "
        .. "paraffin's vapour catches fire from about 200 degrees C." },
    { done = { "solder", "lead", "ground", "joint", "wire", "wind it", "wound", "rewound", "rewind", "cable", "plug", "unsolder", "swap" },
        says = "Solder: draw the fumes away, glasses; old joints hold lead, wash hands." },
    { done = { "wind it", "wound", "rewound", "rewind", "winding" },
        says = "Fine wire cuts at speed: guard the winder, hair and sleeves tied back, no gloves." },
    { done = { "sound", "listen", "strum" }, heard = true,
        says = "Begin listening quietly, headphones off while a sound starts." },
    { done = { "mains", "amplifier" }, heard = true,
        says = "Mains and amplifiers: no work inside without training and, where the law asks, a licence; local codes "
        .. "go first." },
    { always = true, says = "What is computed here is advice without warranty. Old instruments: ask the owner before what cannot "
        .. "be undone." },
}

local function begins_one_of(text, words)
    for _, word in ipairs(words) do
        if find(text, "%f[%a]" .. word) then
            return true
        end
    end
    return false
end

-- `done`: what was done, in words; heard: whether something was listened to.
local function cautions_for(done, heard)
    local list, lower = {}, string.lower(done)
    for _, caution in ipairs(cautions) do
        if caution.always or caution.heard and heard or begins_one_of(lower, caution.done or {}) then
            list[#list + 1] = caution.says
        end
    end
    return list
end

-- ---- what stands in it ----

local function lines_of(value, what)
    local list = type(value) == "string" and { value } or core.list(value)
    for _, line in ipairs(list) do
        if type(line) ~= "string" then
            core.fail("report: '" .. what .. "' is a list of texts")
        end
    end
    return list
end

local function diagnoses_of(given)
    local d, after = given.diagnosis, given.after
    if after ~= nil and d == nil then
        core.fail("report: 'after' goes with 'diagnosis', which is missing")
    end
    return d ~= nil and core.is_diagnosis(d, "report: diagnosis") or nil, after ~= nil and core.is_diagnosis(after, "report: after") or nil
end

local function tables_of(given)
    local list, d, after = {}, diagnoses_of(given)
    local function add(...)
        for _, t in ipairs({ ... }) do
            list[#list + 1] = #t > 0 and t or nil
        end
    end
    if d then
        add(d.faults, d.readings)
    end
    if after then
        add(d:change(after), after.readings) -- what was to be measured next is settled
    elseif d then
        add(d.next, d.meanings)
    end
    local tables = core.columns_of(given.tables) and { given.tables } or core.list(given.tables)
    for _, t in ipairs(tables) do
        if not core.columns_of(t) then
            core.fail("report: 'tables' is a list of tables of results")
        end
        list[#list + 1] = t
    end
    return list
end

-- One sentence of what the readings say, and one of those after the work.
local function found(given)
    local d, after = diagnoses_of(given)
    local lines = { d and d:says() ~= "" and d:says() or nil }
    if after then
        lines[#lines + 1] = "After the work: " .. after:says()
    end
    return lines
end

local by_ear = { output = true, level = true, hum = true, tapping = true, turning = true }

-- Of the steps that this job had and of what it was about; where nothing was done yet, of the first mend.
local function cautions_of(given)
    local work, d, after = lines_of(given.work, "work"), diagnoses_of(given)
    local heard = #core.list(given.sounds) > 0
    for _, of in ipairs({ d, after }) do
        for _, row in ipairs(of.readings) do
            heard = heard or by_ear[string.match(row.reading, "^%a+")] ~= nil
        end
    end
    local first = d and d.faults[1] or {}
    return cautions_for(concat({ first.fault or "", #work == 0 and first.mend or "", concat(work, " ") }, " ") .. " ", heard)
end

local function stamp()
    return "Made with Lodeloom " .. core.version .. ", an engine that computes pickups from first principles."
end

-- ---- text ----

-- Everything but headline, cautions and stamp.
local function body_text(given)
    local parts = {}
    local function block(title, lines)
        if #lines > 0 then
            parts[#parts + 1] = title .. "\n- " .. concat(lines, "\n- ") .. "\n"
        end
    end
    block("About", lines_of(given.about, "about"))
    block("What was found", found(given))
    block("Work done", lines_of(given.work, "work"))
    for _, t in ipairs(tables_of(given)) do
        parts[#parts + 1] = t:as("text")
    end
    return concat(parts, "\n")
end

local function as_text(given)
    local body = body_text(given)
    return (given.title or "Bench report") .. "\n" .. (given.date or "") .. "\n\n" .. body .. "\nCautions\n- "
        .. concat(cautions_of(given), "\n- ") .. "\n\n" .. stamp() .. "\n"
end

-- ---- HTML ----

local STYLE = [[
body{font:11pt/1.45 sans-serif;color:#1b1b1b;background:#fff;max-width:60rem;margin:2rem auto;padding:0 1rem}
h1{font-size:1.6rem;margin:0}h2{font-size:1.15rem;border-bottom:1px solid #999;margin:1.8rem 0 .6rem}
.date{color:#555;margin:.2rem 0 1rem}table{border-collapse:collapse;margin:.8rem 0 .2rem;font-size:10pt}
.wide{overflow-x:auto}caption{text-align:left;font-weight:bold;padding:.2rem 0}
th,td{border-bottom:1px solid #ddd;padding:.2rem .6rem;text-align:left;vertical-align:top}
th{background:#f1f1ee}.n{text-align:right;font-variant-numeric:tabular-nums}
.note{color:#555;font-size:9pt;margin:.1rem 0}svg{max-width:100%;height:auto}
.cautions{border:2px solid #a33;padding:.2rem 1rem;margin-top:2rem}footer{color:#555;font-size:9pt;margin:1.5rem 0}
audio{width:100%;max-width:30rem}figure{margin:.8rem 0}figcaption{font-weight:bold}
@media print{body{margin:0;max-width:none;font-size:9.5pt}h2,caption{break-after:avoid}tr,svg,figure,.cautions{break-inside:avoid}
.wide{overflow:visible}table{font-size:8pt}audio{display:none}.heard{display:none}}
]]

local function list_html(lines)
    local items = {}
    for k, line in ipairs(lines) do
        items[k] = "<li>" .. core.html_text(line) .. "</li>"
    end
    return "<ul>" .. concat(items) .. "</ul>"
end

local function section(parts, title, body)
    if body ~= "" then
        parts[#parts + 1] = "<section><h2>" .. title .. "</h2>\n" .. body .. "</section>"
    end
end

-- A picture, or a line that says why it is not there.
local function picture(number, draw)
    local svg, why = captured(draw)
    return svg and "<figure>" .. inline(svg, number) .. "</figure>\n"
        or '<p class="note">No picture: ' .. core.html_text(gsub(why or "nothing was drawn", "^[^:]*:%d+: ", ""))
            .. "</p>\n"
end

local function drawing(given)
    return given.pickup and picture(1, function()
        given.pickup:draw({ file = "drawing.svg", strings = given.strings, title = given.title })
    end) or ""
end

local function plots(given)
    local list = {}
    for k, plot in ipairs(core.list(given.plots)) do
        if type(plot) ~= "table" or not core.columns_of(plot.table) then
            core.fail("report: each of 'plots' is { table = t, ... } with a table of results")
        end
        list[k] = picture(1 + k, function()
            local fields = without(plot, "table")
            fields.file = "plot.svg"
            plot.table:plot(fields)
        end)
    end
    return concat(list)
end

local function sounds(given)
    local list = {}
    for k, sound in ipairs(core.list(given.sounds)) do
        if type(sound) ~= "table" or type(sound.says) ~= "string" then
            core.fail('report: each of \'sounds\' is { says = "before", pickup = p, strings = s }')
        end
        local wav, why = captured(function()
            local fields = without(sound, "says", "pickup")
            fields.file, fields.format = "sound.wav", "24 bit"
            sound.pickup:listen(fields)
        end)
        local player = wav and '<audio controls preload="none" src="data:audio/wav;base64,' .. base64(wav)
            .. '"></audio>'
            or '<p class="note">No sound: ' .. core.html_text(why or "") .. "</p>"
        list[k] = '<figure class="heard"><figcaption>' .. core.html_text(sound.says) .. "</figcaption>" .. player
            .. "</figure>\n"
    end
    return concat(list)
end

local function tables_html(given)
    local list = {}
    for k, t in ipairs(tables_of(given)) do
        list[k] = '<div class="wide">' .. t:as("html") .. "</div>"
    end
    return concat(list, "\n")
end

local function about_html(given)
    local lines = lines_of(given.about, "about")
    return #lines > 0 and list_html(lines) or ""
end

local function as_html(given)
    local title, work = core.html_text(given.title or "Bench report"), lines_of(given.work, "work")
    local parts = { '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        .. '<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>' .. title
            .. "</title>\n<style>"
        .. STYLE .. "</style></head><body>\n<h1>" .. title .. '</h1>\n<p class="date">'
            .. core.html_text(given.date or "") .. "</p>"
        .. about_html(given) }
    local sentences = found(given)
    section(parts, "What was found", #sentences > 0 and list_html(sentences) or "")
    section(parts, "Work done", #work > 0 and list_html(work) or "")
    section(parts, "Drawing", drawing(given))
    section(parts, "Readings and what they say", tables_html(given))
    section(parts, "Curves", plots(given))
    section(parts, "To listen to", sounds(given))
    parts[#parts + 1] = '<div class="cautions"><h2>Cautions</h2>' .. list_html(cautions_of(given)) .. "</div>"
    parts[#parts + 1] = "<footer>" .. core.html_text(stamp()) .. "</footer>\n</body></html>\n"
    return concat(parts, "\n")
end

-- ll.report{ file = "job.html", ... }
function ll.report(fields)
    local given = core.read("report", fields, "report")
    local ending = string.match(given.file, "%.(%w+)$")
    local make = ({ html = as_html, txt = as_text })[ending]
        or core.fail("report: a file name ending in .html or .txt was expected")
    local page = make(given)
    core.write_file(given.file, page)
end
