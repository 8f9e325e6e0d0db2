#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# reading.sh PROGRAM FOLDER: a script reads beneath --in and nowhere else: no links, pipes, devices or folders, nothing without --in;
# what it read is in the hash of the run, and a sweep with a file begins anew when it has changed.
set -euo pipefail
program=$1 folder=$2
rm -rf "$folder"
mkdir -p "$folder/in/sub" "$folder/outside" "$folder/out"
cd "$folder"
printf 'a,b\n1,2\n' > in/fine.csv
cp in/fine.csv in/sub/fine.csv
printf 'secret,b\n1,2\n' > outside/secret.csv
ln -s ../outside/secret.csv in/link.csv
ln -s ../outside in/up
ln -s "$folder/in/fine.csv" in/inner.csv
mkfifo in/pipe.csv
ln -s /dev/zero in/zero.csv
truncate -s 20000000 in/large.csv
truncate -s 4294967296 in/large.wav # 4 GB of nothing, which no disk holds
fail() { echo "$*" >&2; exit 1; }

cat > names.lua <<'LUA'
local t = ll.read_table{ file = "fine.csv" }
assert(t[1].a == 1 and ll.read_table{ file = "sub/fine.csv" }[1].b == 2)
for _, name in ipairs{ "link.csv", "up/secret.csv", "inner.csv", "pipe.csv", "zero.csv", "sub", ".", "..", "../outside/secret.csv",
    "sub/../fine.csv", "./fine.csv", "/etc/passwd", "//etc/passwd", "sub/", "fine.csv/", "fine.csv/x", "large.csv", "none.csv",
    "up/../../outside/secret.csv", "sub//fine.csv" } do
    for _, read in ipairs{ ll.read_table, ll.recording } do
        local fine, message = pcall(read, { file = name })
        assert(not fine, name .. " was read")
        assert(not message:find("secret,b", 1, true), message)
    end
end
local fine, message = pcall(ll.recording, { file = "large.wav" })
assert(not fine and message:find("at most 256 MB", 1, true), message)
LUA
"$program" run --quiet --time-limit 20 --memory-limit 100 --in in names.lua || fail "names"

echo 'll.read_table{ file = "fine.csv" }' > plain.lua
"$program" run plain.lua 2> said && fail "read without --in"
grep -q 'start with --in DIR' said || fail "no cure: $(cat said)"
"$program" check plain.lua > /dev/null || fail "a check without --in"
"$program" run --in no_such plain.lua 2> said && fail "no such folder"
[ "$("$program" run --in in/fine.csv plain.lua 2>&1 >/dev/null | wc -l)" = 1 ] || fail "a file as folder"

# The stamp knows what was read.
first=$("$program" run --stamp --in in plain.lua)
printf 'a,b\n1,3\n' > in/fine.csv
second=$("$program" run --stamp --in in plain.lua)
[ "$first" != "$second" ] || fail "the stamp does not know what was read: $first"
printf 'a,b\n1,2\n' > in/fine.csv
[ "$first" = "$("$program" run --stamp --in in plain.lua)" ] || fail "the stamp changes by itself"

# A sweep that was ended goes on only with the input that it began with; within it nothing is read.
cat > sweep.lua <<'LUA'
local t = ll.read_table{ file = "fine.csv" }
ll.sweep{ vary = { { "x", { 1, 2 } } }, file = "rows.csv", build = function(v) return v.x end,
    read = function(p) return { y = p + t[1].b } end }
LUA
"$program" run --quiet --in in --out out sweep.lua || fail "sweep"
grep -q '^2,4' out/rows.csv || fail "rows: $(cat out/rows.csv)"
printf 'a,b\n1,5\n' > in/fine.csv
"$program" run --quiet --in in --out out sweep.lua || fail "sweep with a changed input"
grep -q '^2,7' out/rows.csv || fail "rows of an input that has changed: $(cat out/rows.csv)"
sed 's/local t = .*//; s/t\[1\].b/ll.read_table{ file = "fine.csv" }[1].b/; s/rows/late/' sweep.lua > late.lua
"$program" run --quiet --in in --out out late.lua 2> said && fail "read within a sweep"
grep -q 'read it further up' said || fail "$(cat said)"

# Beneath --in nothing can be written.
before=$(ls -lA --time-style=full-iso in | md5sum)
echo 'll.table{ columns = { "a" }, rows = { { a = 1 } } }:save("x.csv")' > save.lua
"$program" run --in in save.lua 2> said && fail "saved without --out"
[ "$before" = "$(ls -lA --time-style=full-iso in | md5sum)" ] || fail "the folder of --in has changed"
