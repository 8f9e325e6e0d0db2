-- ends with 1: without --out nothing is written
-- options: none
ll.table({ columns = { "a" }, rows = { { a = 1 } } }):save("x.csv")
