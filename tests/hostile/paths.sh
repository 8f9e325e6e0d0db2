#!/bin/bash
# paths.sh PROGRAM FOLDER - every path that the program takes, led to each place where it cannot go: the status, and words that name
# the cure. In FOLDER, which is emptied.
# SPDX-License-Identifier: GPL-3.0-or-later
set -u
program=$1 folder=$2 failed=0 as_nobody=()
rm -rf "$folder"
mkdir -p "$folder/out/folder.csv" "$folder/out/folder.png" "$folder/out/folder.wav" "$folder/out/folder.html" "$folder/out/rows.csv.rows" \
    "$folder/out/there.csv.rows-1-of-2" "$folder/shut"
cd "$folder" || exit 1
echo x > plain
ln -s loop_b loop_a
ln -s loop_a loop_b
ln -s nowhere dangling.lua
ln -s outside out/link.csv.rows
long=$(printf 'n%.0s' {1..300})
cat > write.lua <<'END'
local name, t = given.name, ll.table{ columns = { "a", "b" }, rows = { { a = 1, b = 2 }, { a = 2, b = 3 } } }
local ways = {
    save = function() t:save(name) end,
    plot = function() t:plot{ x = "a", y = "b", file = name } end,
    draw = function() ll.pickup{ parts = { ll.rod{ diameter = 5, length = 10, at = { 0, 0, 0 }, material = "brass" } } }:draw{ file = name } end,
    report = function() ll.report{ file = name, title = "job" } end,
    sweep = function()
        ll.sweep{ vary = { { "a", { 1 } } }, file = name, build = function() return 1 end, read = function() return { b = 1 } end }
    end,
    listen = function()
        local rod = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -8.5 }, north = "+z", material = ll.magnet{ remanence = 1000, recoil = 1 } }
        local coil = ll.coil{ turns = 5000, opening = { 6, 6 }, build = 5, height = 10, at = { 0, 0, -8 }, wire = ll.awg(42) }
        ll.pickup{ parts = { rod }, coils = { coil } }:listen{ strings = ll.string{ note = "G3", gauge = 0.43, x = 0, gap = 2.5 },
            pluck = { position = 130 }, seconds = 0.1, file = name }
    end,
}
ways[given.way]()
END

# STATUS WORDS COMMAND...: how the command must end, and what it must say.
ends() {
    local status=$1 words=$2 said got
    shift 2
    said=$("${as_nobody[@]}" "$program" "$@" 2>&1 < /dev/null)
    got=$?
    if [[ $got != "$status" || $said != *"$words"* || ${#said} -gt 600 ]]; then
        echo "lodeloom $*"
        echo "  ends with $got, not $status; it must say: $words"
        echo "  ${said:0:600}"
        failed=1
    fi
}

# The folder of results.
while read -r path words; do
    ends 2 "$words" run --out "$path" write.lua way=save name=x.csv
done << END
missing     made first, as with mkdir
missing/sub made first, as with mkdir
plain       a file stands where a folder is needed
plain/sub   a file stands where a folder is needed
loop_a      lead round in a circle
$long       the name is too long
END
ends 2 "--out takes a folder, not ''" run --out "" write.lua way=save name=x.csv
ends 1 "start with --out DIR" run write.lua way=save name=x.csv

# Files within it, by all that write one.
while read -r way ending; do
    for name in "folder$ending" "sub/x$ending" "../x$ending" "/tmp/x$ending" ".x$ending" "$long$ending" ""; do
        case $way:$name in
            sweep:folder*) continue ;; # its rows are what is opened first: below
            *:folder*) words="a folder has that name; take another name" ;;
            *:"$long"*) words=letters ;;
            *:) words=file ;;
            *) words="is not a plain file name; files go into the folder of --out" ;;
        esac
        ends 1 "$words" run --out out write.lua "way=$way" "name=$name"
    done
done << END
save .csv
plot .png
draw .png
report .html
listen .wav
sweep .csv
END
ends 1 "a folder has that name" run --out out write.lua way=sweep name=rows.csv
ends 1 "links stand in its way" run --out out write.lua way=sweep name=link.csv
[[ ! -e outside ]] || { echo "a link was followed"; failed=1; }

# Scripts.
while read -r path words; do
    for command in run check; do
        ends 2 "$words" $command "$path"
    done
done << END
missing.lua   \`lodeloom scripts\` lists those that came along
out           is a folder; name a script in it
plain/x.lua   a file stands where a folder is needed
loop_a        lead round in a circle
dangling.lua  is a link to what is not there
$long.lua     the name is too long
/dev/null     is no plain file
END
ends 2 "run needs a script, as in" run ""

# Shares of a sweep.
while read -r status path words; do
    ends "$status" "$words" join "$path"
done << END
2 missing/x.csv made first, as with mkdir
2 plain/x.csv   a file stands where a folder is needed
2 loop_a/x.csv  lead round in a circle
1 out/x.csv     there is no first share
1 out           a file name ending in .csv
1 $long.csv     letters
END
ends 1 "a file name ending in .csv" join ""

# What nobody but root may do.
chmod 0555 shut
echo 'print(1)' > secret.lua
chmod 0 secret.lua
[[ $(id -u) == 0 ]] && as_nobody=(setpriv --reuid=65534 --regid=65534 --clear-groups --)
if "${as_nobody[@]}" test -x "$program" -a -r write.lua 2> /dev/null; then
    for row in "2|nothing can be written to the folder 'shut': that is not allowed|run --out shut write.lua way=save name=x.csv" \
        "1|'secret.lua' cannot be read: that is not allowed|run secret.lua"; do
        IFS='|' read -r status words line <<< "$row"
        # shellcheck disable=SC2086
        ends "$status" "$words" $line
    done
fi
exit $failed
