-- ends with 1: what a script says cannot talk to the terminal
-- says: clear ?[2J, title ?]0 x?, ?[31m??over~a~x  ]52 y~~
print("clear \27[2J, title \27]0 x\7, \u{9b}[31m\u{85}\rover")
ll.table({ columns = { "a" }, rows = { { a = "x \27]52 y" } } }):print()
error("\27[31m")
