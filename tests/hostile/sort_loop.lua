-- ends with 3: a comparison that never returns
table.sort({ 3, 2, 1 }, function()
    while true do
    end
end)
