-- A sweep of 40 rows whose point 20 ends badly, in the way that `how` names.
local function burden(how)
    if how == "error" then
        return nil + 1
    elseif how == "memory" then
        local text = "x"
        while true do
            text = text .. text
        end
    elseif how == "loop" then
        while true do
        end
    end
end
local rod = ll.rod{ diameter = 5, length = 17, at = { 0, 0, 0 }, material = "brass" }
local t = ll.sweep{
    vary = { { "n", ll.range(1, 40) } },
    file = "ends.csv",
    build = function(v)
        if v.n == 20 then
            burden(given.how)
        end
        print("point " .. v.n)
        return ll.pickup{ parts = { rod } }
    end,
    read = function(_, v)
        return { square = v.n ^ 2 }
    end,
}
t:print()
