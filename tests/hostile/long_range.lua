-- ends with 1: neither has a range
ll.range(0, 1, 1e-12)
