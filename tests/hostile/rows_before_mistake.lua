-- ends with 1: the rows that a sweep has finished before a mistake are shown
-- says: n,twice~1,2~2,4~
ll.sweep{
    vary = { { "n", { 1, 2, 3, 4 } } },
    build = function(v)
        return v.n == 3 and nil + 1 or 1
    end,
    read = function(_, v)
        return { twice = 2 * v.n }
    end,
}
