-- ends with 1: scripts have no finalisers
setmetatable({}, {
    __gc = function()
        while true do
        end
    end,
})
