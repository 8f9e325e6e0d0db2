-- ends with 3: a to-be-closed variable that never lets go
local guard <close> = setmetatable({}, {
    __close = function()
        while true do
        end
    end,
})
error("leave")
