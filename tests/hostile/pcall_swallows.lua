-- ends with 3: pcall cannot swallow the limit
while true do
    pcall(function()
        while true do
        end
    end)
end
