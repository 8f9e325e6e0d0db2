-- Help says of every function, method and field what the list of words and the tables of fields say.
local function says(topic, text)
    assert(string.find(ll.help(topic), text, 1, true), "help " .. topic .. " lacks: " .. text)
end

local words, fields = 0, 0
local function try_words(noun)
    local fine, list = pcall(ll.words, noun)
    for _, row in ipairs(fine and list or {}) do
        says(string.match(row.call, "[.:]([%w_]+)"), row.meaning)
        words = words + 1
    end
end

try_words()
for _, row in ipairs(ll.fields()) do
    try_words(row.noun)
    for _, field in ipairs(ll.fields(row.noun)) do
        says(row.noun .. "." .. field.field, field.meaning)
        says(field.field, field.meaning)
        says(row.noun, field.meaning)
        fields = fields + 1
    end
end
assert(words > 60 and fields > 150, words .. " words, " .. fields .. " fields")

-- However a topic is written.
for _, topic in ipairs{ "ll.coil", "pickup:poles", "coil:opening", "AlNiCo 5", "alnico-5", "treble bleed" } do
    assert(#ll.help(topic) > 20, topic)
end
local fine, message = pcall(ll.help, "heigth")
assert(not fine and string.find(message, "did you mean 'height'", 1, true))
assert(not pcall(ll.help, 3) and not pcall(ll.help, {}))
