-- ends with 1: a move over 2^40 items is refused
table.move({}, 1, 1 << 40, 2)
