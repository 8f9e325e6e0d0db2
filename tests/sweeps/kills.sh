#!/bin/bash
# kills.sh PROGRAM SCRIPT FOLDER KILLS - kills a sweep at random instants, begins it again each time, and compares what it
# leaves in the end with the file of a run that nobody disturbed, byte for byte.
# SPDX-License-Identifier: GPL-3.0-or-later
set -euo pipefail
program=$1 script=$2 folder=$3 kills=$4
seed=${SEED:-$$}
RANDOM=$seed
rm -rf "$folder"
mkdir -p "$folder/calm" "$folder/torn"

fail() { echo "$1 (SEED=$seed)"; exit 1; }

# Every row once, and the file as it should be.
compare() {
    cmp "$folder/calm/rows.csv" "$folder/torn/rows.csv" || fail "the file differs"
    local points
    points=$(tail -n +2 "$folder/torn/rows.csv.rows" | cut -f 1 | cut -d ' ' -f 2 | sort -n | uniq | wc -l)
    [[ $points == 300 ]] || fail "$points points of 300"
    [[ $(wc -l < "$folder/torn/rows.csv.rows") == 301 ]] || fail "a point was computed twice"
}

"$program" run --out "$folder/calm" --threads 2 "$script" work=20000
whole=0
for ((done = 0; done < kills;)); do
    "$program" run --quiet --out "$folder/torn" --threads 2 "$script" work=300000 & victim=$!
    sleep "0.$(printf %03d $((RANDOM % 250)))"
    if kill -9 "$victim" 2> /dev/null; then
        done=$((done + 1))
        wait "$victim" 2> /dev/null || [[ $? == 137 ]] || fail "the sweep failed"
    else
        wait "$victim" || fail "the sweep failed"
        compare
        whole=$((whole + 1))
        rm "$folder"/torn/*
    fi
done
"$program" run --quiet --out "$folder/torn" --threads 2 "$script" work=300000
compare
echo "$done kills, $((whole + 1)) whole sweeps"
