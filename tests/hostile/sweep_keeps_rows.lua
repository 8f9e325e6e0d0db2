-- ends with 3: the rows that a sweep has finished when it is stopped are shown
-- says: n,twice~1,2~2,4~
ll.sweep({
    vary = { { "n", { 1, 2, 3 } } },
    build = function(v)
        while v.n == 3 do
        end
        return ll.pickup({ parts = { ll.rod({ diameter = 5, length = 10, at = { 0, 0, 0 }, material = "brass" }) } })
    end,
    read = function(_, v)
        return { twice = 2 * v.n }
    end,
})
