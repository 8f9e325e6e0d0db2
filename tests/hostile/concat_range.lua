-- ends with 1: so is a concat over them
table.concat({}, "", 1, 1 << 40)
