-- A sweep each of whose points holds 60 MB for a while; `all` holds some more around it.
local around = {}
for i = 1, given.all or 0 do
    around[i] = ("x"):rep(999999 - i)
end
local rod = ll.rod{ diameter = 5, length = 17, at = { 0, 0, 0 }, material = "brass" }
ll.sweep{ vary = { { "n", ll.range(1, 8) } }, file = "memory.csv",
    build = function()
        local held = {}
        for i = 1, given.each or 60 do
            held[i] = ("x"):rep(999999 - i)
        end
        for _ = 1, 3e6 do end
        return ll.pickup{ parts = { rod } }
    end,
    read = function(_, v)
        print("read " .. v.n)
        return { square = v.n ^ 2 }
    end,
}
