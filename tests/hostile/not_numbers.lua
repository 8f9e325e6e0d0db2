-- ends with 0: what is no finite number goes nowhere
local rod = ll.rod({ diameter = 5, length = 10, at = { 0, 0, 0 }, material = "AlNiCo 5", north = "+z" })
for _, bad in ipairs({ 0 / 0, 1 / 0, -1 / 0 }) do
    assert(not pcall(rod.with, rod, { diameter = bad }))
    assert(not pcall(rod.moved, rod, bad, 0, 0))
    assert(not pcall(rod.turned, rod, "x", bad))
    assert(not pcall(ll.inch, bad))
    assert(not pcall(ll.range, 0, bad))
    assert(not pcall(ll.log_range, 1, bad))
    assert(not pcall(ll.table, { columns = { "a" }, rows = { { a = bad } } }))
    assert(not pcall(ll.pickup({ parts = { rod } }).field, ll.pickup({ parts = { rod } }), { { 0, 0, bad } }))
end
