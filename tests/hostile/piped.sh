#!/bin/bash
# piped.sh PROGRAM FOLDER - a script through standard input prints what its file prints, with its mistakes at their lines; input that is
# no script, too long, or never ends is refused.
# SPDX-License-Identifier: GPL-3.0-or-later
set -uo pipefail
program=$1 folder=$2
rm -rf "$folder"
mkdir -p "$folder/out"
cd "$folder" || exit 1
fail() { echo "$1"; exit 1; }

# expect STATUS TEXT WORDS... : of the command whose input is this function's.
expect() {
    local status=$1 text=$2 got
    shift 2
    "$program" "$@" > said 2>&1
    got=$?
    [[ $got == "$status" ]] || fail "lodeloom $*: status $got, expected $status: $(cat said)"
    [[ -z $text ]] || grep -qF -- "$text" said || fail "lodeloom $*: '$text' is missing in: $(cat said)"
}

cat > part.lua <<'END'
return { at = {0, 0, -8.5} }
END
cat > six.lua <<'END'
-- A magnet alone.
-- A bench. Needs lodeloom 0.1.
local p = ll.pickup{ parts = { ll.rod{ diameter = given.d or 4.8, length = 17, at = require("part").at, material = "AlNiCo 5", north = "+z" } } }
local t = p:field{ points = { {0, 0, 3} } }
t:print()
if given.file then t:save(given.file) end
END

# The same bytes, values, tables, files and stamp; only the name differs.
for format in text csv json; do
    "$program" run --stamp --format $format six.lua d=5 > file.out 2> file.err || fail "the file: $(cat file.err)"
    "$program" run --stamp --format $format - d=5 < six.lua > pipe.out 2> pipe.err || fail "through the pipe: $(cat pipe.err)"
    cmp <(sed 's/six\.lua/stdin/' file.out) pipe.out || fail "$format: other tables through a pipe"
    cmp <(sed 's/six\.lua/stdin/' file.err) pipe.err || fail "$format: other remarks through a pipe"
done
expect 0 "" run --out out - file=a.csv < six.lua
[[ -s out/a.csv ]] || fail "no file was written"
expect 1 "no folder to write to was given; start with --out DIR" run - file=a.csv < six.lua
expect 0 "stdin: no mistakes found" check - < six.lua
expect 0 "bz_mt" run - < <(cat six.lua) # a pipe
# In small pieces, as a terminal gives them.
slowly() { while IFS= read -r line; do echo "$line"; sleep 0.05; done < six.lua; }
expect 0 "bz_mt" run - < <(slowly)

# Mistakes at their lines: of the engine's words, of Lua, of the text, found by a check, and of a thing that has no value.
expect 1 "stdin:2: rod: 'diametre' is not a field of a rod; did you mean 'diameter'?" run - < <(printf 'local a = 1\nll.rod{ diametre = 1 }\n')
expect 1 "stdin:2: " check - < <(printf 'local a = 1\nll.rod{ diametre = 1 }\n')
expect 1 "stdin:3: there is no 'b' here: give it a value in a line further up" run - < <(printf '\n\nlocal a = b.c\n')
expect 1 "stdin:2: the script stops in the middle of something" run - < <(printf 'local a =\n')
expect 1 "stdin:2: " run - < <(printf '#!/usr/bin/lodeloom\nlocal a = b.c\n')
# The line itself is looked at where words alone do not tell.
printf 'x = 1,5\nlocal s = {} .. 1\n' > slip.lua
"$program" run slip.lua > file.out 2>&1
"$program" run - < slip.lua > pipe.out 2>&1
cmp <(sed 's/slip\.lua/stdin/' file.out) pipe.out || fail "a slip is explained otherwise: $(cat pipe.out)"

# No script: of a later version, compiled, binary, a folder, closed, too long, never ending.
expect 1 "stdin needs lodeloom 9.0" run - < <(printf -- '-- What?\n-- A bench. Needs lodeloom 9.0.\n')
expect 1 "is compiled Lua" run - < <(printf '\033Lua')
expect 1 "holds zero bytes" run - < <(printf 'a\0b')
expect 1 "standard input cannot be read" run - < out
expect 1 "standard input cannot be read" run - < <(yes 'local all_too_long')
expect 1 "its end did not come within 0.3 s" run --time-limit 0.3 - < <(sleep 5)
expect 2 "--watch waits until a file is saved" run --watch - < six.lua
expect 2 "one word too many" start rods - - < /dev/null
expect 0 "" run - < /dev/null

# A file that is called stdin is a file.
cp six.lua stdin
expect 0 "bz_mt" run stdin < /dev/null
"$program" start rods - > /dev/full 2> said
[[ $? == 1 ]] && grep -q "standard output cannot be written" said || fail "start to a full disk: $(cat said)"
exit 0
