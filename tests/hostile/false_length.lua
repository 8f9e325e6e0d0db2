-- ends with 1: a length that lies does not send the library round
table.insert(setmetatable({}, {
    __len = function()
        return 1 << 40
    end,
}), 1, "x")
