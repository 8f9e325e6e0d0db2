-- ends with 1: an error text of its own, large and shaped like a message, does not keep the program busy
error("x:1: " .. ("bad argument #1 to '' ("):rep(120000), 0)
