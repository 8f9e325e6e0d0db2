-- ends with 3: a text that doubles for ever, with pcall in the way
local text = "x"
while true do
    pcall(function()
        text = text .. text
    end)
end
