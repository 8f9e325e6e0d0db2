-- ends with 1: without --out a script that saves says so before it computes; nothing of it runs
-- options: none
-- says: 
print("this line is not reached")
for _, name in ipairs{ "x.csv", "y.md" } do
    ll.table({ columns = { "a" }, rows = { { a = 1 } } }):save(name)
end
