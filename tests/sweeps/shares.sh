#!/bin/bash
# shares.sh PROGRAM SCRIPT FOLDER - a sweep shared out and joined gives the file of the whole one, byte for byte; with GNU
# parallel, where it is installed.
# SPDX-License-Identifier: GPL-3.0-or-later
set -euo pipefail
program=$1 script=$2 folder=$3
rm -rf "$folder"
mkdir -p "$folder/whole" "$folder/shares"
fail() { echo "$1"; exit 1; }

# As docs/many-machines.md has it; a share is a single process here.
run_shares() {
    if command -v parallel > /dev/null && parallel --version 2> /dev/null | grep -q '^GNU parallel'; then
        echo "with GNU parallel"
        seq 7 | parallel --will-cite --jobs 2 "$program" run --quiet --threads 1 --out "$folder/shares" --part {}/7 "$script" share=yes
    else
        echo "GNU parallel is not installed: one share after the other"
        for k in $(seq 7); do
            "$program" run --quiet --threads 1 --out "$folder/shares" --part "$k/7" "$script" share=yes
        done
    fi
}

"$program" run --quiet --out "$folder/whole" "$script" share=yes
run_shares
[[ ! -e $folder/shares/rows.csv ]] || fail "a share wrote the table"
# Every point is in one share and in no other.
points=$(tail -qn +2 "$folder"/shares/rows.csv.rows-*-of-7 | cut -d ' ' -f 2 | cut -f 1 | sort -n | tr '\n' ' ')
[[ $points == "$(seq 0 299 | tr '\n' ' ')" ]] || fail "the shares hold the points $points"
"$program" join "$folder/shares/rows.csv"
cmp "$folder/whole/rows.csv" "$folder/shares/rows.csv" || fail "the joined file differs"

# What is missing, unfinished or of another run is told and not joined.
refuses() {
    local words
    rm -f "$folder/shares/rows.csv"
    words=$("$program" join "$folder/shares/rows.csv" 2>&1) && fail "joined all the same: $1"
    [[ $words == *"$1"* ]] || fail "'$1' is not in: $words"
    [[ ! -e $folder/shares/rows.csv ]] || fail "a file was written: $1"
}
third="$folder/shares/rows.csv.rows-3-of-7"
cp "$third" "$folder/share"
sed -i '$d' "$third"
refuses "share 3 of 7 is not finished, 1 of its"
rm "$third"
refuses "run the script with --part 3/7"
"$program" run --quiet --out "$folder/shares" --part 3/7 "$script" share=yes work=1
refuses "another version of the script or was run with other values"
cp "$folder/share" "$third"
printf 'x' > "$folder/shares/rows.csv.rows-1-of-2"
refuses "shares of 2 and of 7"

# A share from another bench may be anything; a sound checksum makes no sound share.
rm "$folder/shares/rows.csv.rows-1-of-2"
for head in "lodeloom rows 2" "x" "lodeloom rows 2	0	999999999999	t	a	b"; do
    hash=$(python3 -c 'import sys
h = 0xcbf29ce484222325
for b in sys.argv[1].encode():
    h = (h ^ b) * 0x100000001b3 % 2**64
print(f"{h:016x}")' "$head" 2> /dev/null) || break
    printf '%s %s\n' "$hash" "$head" > "$folder/shares/rows.csv.rows-1-of-7"
    refuses "holds no rows"
done

# A script that has changed begins anew and says so; so does one with other values.
sed 's/0.3, 0.2/0.3, 0.1/' "$script" > "$folder/changed.lua"
words=$("$program" run --out "$folder/whole" "$folder/changed.lua" share=yes 2>&1)
[[ $words == *"it starts anew"* ]] || fail "a changed script went on: $words"
words=$("$program" run --out "$folder/whole" "$folder/changed.lua" share=yes 2>&1)
[[ $words == *"all 300 points are there"* ]] || fail "points were lost: $words"
