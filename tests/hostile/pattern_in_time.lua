-- ends with 3: a smaller one is ended from outside, though the library asks nobody
string.find(string.rep("a", 3000), ".-.-.-b")
