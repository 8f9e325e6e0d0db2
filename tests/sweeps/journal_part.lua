-- What journal.lua requires.
return {
    make = function(draw)
        return ll.rod{ diameter = 5, length = 17 + 0.1 * draw, at = { 0, 0, 0 }, material = "brass" }
    end,
}
