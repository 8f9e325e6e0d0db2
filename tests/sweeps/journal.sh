#!/bin/bash
# journal.sh PROGRAM SCRIPT MODULE FOLDER - what a sweep with a file goes on from is its own, unchanged and sound; what is not is
# told, kept and not used.
# SPDX-License-Identifier: GPL-3.0-or-later
set -uo pipefail
program=$1 folder=$4
rm -rf "$folder"
mkdir -p "$folder/out"
cp "$2" "$folder/journal.lua"
cp "$3" "$folder/journal_part.lua"
script=$folder/journal.lua rows=$folder/out/x.csv.rows
fail() { echo "$1"; exit 1; }

# run STATUS WORDS ARGUMENTS: what it says contains the words.
run() {
    local status=$1 words=$2 said got
    shift 2
    said=$("$program" run --out "$folder/out" "$@" 2>&1 > "$folder/tables")
    got=$?
    [[ $got == "$status" ]] || fail "$*: status $got, expected $status: $said"
    [[ $said == *"$words"* ]] || fail "$*: '$words' is not in: $said"
    [[ $words || -z $said ]] || fail "$*: said $said"
}
sweep() { run "$1" "$2" "$script" file=x.csv "${@:3}"; }

# Chance belongs to the point: any number of threads, with a file and without, in one go or in two.
run 0 "" "$script"
plain=$(cat "$folder/tables")
for threads in 1 2 4; do
    rm -f "$folder"/out/*
    sweep 0 "" --threads $threads
    [[ $(cat "$folder/tables") == "$plain" ]] || fail "$threads threads: $(diff <(echo "$plain") "$folder/tables")"
done
sed -i '4,5d' "$rows"
sweep 0 "going on, 4 of 6 points are there"
[[ $(cat "$folder/tables") == "$plain" ]] || fail "gone on: $(diff <(echo "$plain") "$folder/tables")"
[[ $(cut -d , -f 2 "$folder/out/x.csv" | sort -u | wc -l) == 7 ]] || fail "values of chance repeat themselves"
sweep 0 "starts anew" seed=7
[[ $(cat "$folder/tables") != "$plain" ]] || fail "a seed of the script's changes nothing"

# Another value, or a module that has changed: computed anew, and the earlier rows are kept aside.
rm "$folder"/out/*
sweep 0 ""
sweep 0 "kept in x.csv.rows.1" gap=5
[[ $(sed -n 2p "$folder/out/x.csv") == 1,*,6,* ]] || fail "rows of another value: $(cat "$folder/out/x.csv")"
[[ $(grep -c gap= "$folder/out/x.csv.rows.1") == 6 ]] || fail "the earlier rows are gone"
run 2 "'gap' is given twice" "$script" file=x.csv gap=5 gap=5
sweep 0 "all 6 points are there"
sweep 0 "all 6 points are there" gap=5
[[ $(sed -n 2p "$folder/out/x.csv") == 1,*,6,* ]] || fail "rows of another value: $(cat "$folder/out/x.csv")"
[[ -e $folder/out/x.csv.rows.2 && ! -e $folder/out/x.csv.rows.3 ]] || fail "kept twice: $(ls "$folder/out")"
sweep 0 "starts anew" gap=5 seed=7
sweep 0 "all 6 points are there" seed=7 gap=5
sweep 0 "all 6 points are there" gap=5
sed -i 's/17/18/' "$folder/journal_part.lua"
sweep 0 "starts anew" gap=5
[[ $(sed -n 2p "$folder/out/x.csv") == *,18.* ]] || fail "rows of another module: $(cat "$folder/out/x.csv")"
sweep 1 "first needed within the build or read" gap=5 late=yes
[[ $("$program" check "$script" file=x.csv late=yes 2>&1) == *"first needed within"* ]] || fail "the check says nothing of a late module"

# Somebody else's file is refused and stays as it is, however short or long; what a full disk left of a first line is not.
for text in "someone's own notes" "a" "0123456789abcdef" "0123456789abcdef other words" ""$'\n'"" "$(head -c 3000 /dev/zero | tr '\0' x)"; do
    printf '%s' "$text" > "$rows"
    sweep 1 "'x.csv.rows' is there and holds no rows of a sweep"
    [[ $(cat "$rows"; echo .) == "$text." ]] || fail "somebody else's file was changed"
done
for text in "" "0123456789abcdef lodeloom ro" "0123456789abcdef lodeloom rows 2"$'\t'; do
    printf '%s' "$text" > "$rows"
    sweep 0 ""
done

# A torn last row is dropped, a damaged one is computed anew, and those behind it count.
good=$(cat "$folder/out/x.csv")
truncate -s -3 "$rows"
sweep 0 "going on, 5 of 6 points are there"
sed -i '3s/n=/m=/' "$rows"
sweep 0 "going on, 5 of 6 points are there"
printf 'half a row' >> "$rows"
sweep 0 "all 6 points are there"
[[ $(cat "$folder/out/x.csv") == "$good" ]] || fail "the file differs"

# Rows that missed the mesh error asked for say so again when they come back from the file; joined steel is the hardest.
cat > "$folder/hard.lua" << 'END'
local magnet = ll.rod{ diameter = 5, length = 17, at = { 0, 0, -12 }, north = "+z", material = ll.magnet{ remanence = 1000, recoil = 1 } }
local plate = ll.block{ size = { 6, 6, 1 }, at = { 0, 5.4, 0 }, material = "steel 1018" }
ll.sweep{ vary = { { "length", { 5 } } }, file = "hard.csv", build = function(v)
    return ll.pickup{ accuracy = 0.05, parts = { magnet, plate, ll.rod{ diameter = 5, length = v.length, at = { 0, 0, 0 }, material = "steel 1018" } } }
end, read = function(p) return { bz_mt = p:field{ { 2, 0, 2.8 } }.bz_mt } end }:print()
END
run 0 "" "$folder/hard.lua"
missed=$(cat "$folder/tables")
[[ $missed == *"at 1 of 1 points the mesh error may be more"* ]] || fail "the mesh error was met: $missed"
run 0 "all 1 points are there" "$folder/hard.lua"
[[ $(cat "$folder/tables") == "$missed" ]] || fail "rows from the file: $(cat "$folder/tables")"

# The disk is waited for before the end.
if command -v strace > /dev/null && strace -o "$folder/trace" true 2> /dev/null; then
    rm "$folder"/out/*
    strace -f -e trace=fdatasync,renameat,rename -o "$folder/trace" "$program" run --out "$folder/out" "$script" file=x.csv > /dev/null 2>&1
    [[ $(grep -c 'fdatasync([0-9]*) *= 0' "$folder/trace") -ge 2 ]] || fail "no waiting for the disk: $(cat "$folder/trace")"
fi

# Without a folder it says so before it computes; a script that takes the refusal for itself runs on.
said=$("$program" run "$script" file=x.csv 2>&1 > "$folder/tables")
[[ $? == 1 && $said == *"start with --out DIR"* && ! -s $folder/tables ]] || fail "without --out: $said"
