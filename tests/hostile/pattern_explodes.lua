-- ends with 1: a pattern that would backtrack for ever is refused
string.find(string.rep("a", 200000), ".-.-.-b")
