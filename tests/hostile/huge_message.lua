-- ends with 1: an error text that fills much of the memory is cut before it is copied
error(("e"):rep(1 << 24))
