-- ends with 1: and an unpack
table.unpack({}, 1, 1 << 40)
