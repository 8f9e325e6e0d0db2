-- ends with 0: files go below --out and nowhere else
local t = ll.table({ columns = { "a" }, rows = { { a = 1 } } })
for _, name in ipairs({ "../x.csv", "/tmp/x.csv", "a/b.csv", ".hidden.csv", "x.exe", "x\0.csv", "-x.csv" }) do
    assert(not pcall(t.save, t, name), name)
end
t:save("fine.csv")
