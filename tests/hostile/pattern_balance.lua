-- ends with 1: looking for partners of brackets takes the square of the text's length
string.find(string.rep("(", 1 << 23), "%b()%b()")
