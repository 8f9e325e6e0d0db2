-- ends with 0: what Lua's library says of a wrong call carries the script's line, not one of the program's own
local wrong = {
    function() local _ = ("x"):rep() end,
    function() local _ = string.find("x", "(") end,
    function() local _ = table.concat({ {} }) end,
    function() local _ = string.format("%d", 0.5) end,
    function() local _ = table.unpack() end,
    function() local _ = utf8.char(-1) end,
}
for i, f in ipairs(wrong) do
    local fine, message = pcall(f)
    assert(not fine and string.find(message, "messages_placed.lua:" .. i + 2 .. ": ", 1, true), message)
end
