-- ends with 1: a gigabyte of text is refused
local text = ("x"):rep(1 << 30)
