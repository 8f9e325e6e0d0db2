#!/bin/bash
# memory.sh PROGRAM SCRIPT FOLDER - the memory limit is one for all processes of a sweep: fewer of them work where it is short, with
# the same rows, and only what does not fit one alone ends the run.
# SPDX-License-Identifier: GPL-3.0-or-later
set -uo pipefail
program=$1 script=$2 folder=$3
own_mb=60 # the program by itself, and 8 processes that have done nothing yet
fail() { echo "$1"; exit 1; }

# The largest sum over all processes that was seen while it ran, in MB, and its status.
watched() {
    local run peak=0 sum process part
    rm -rf "$folder"
    mkdir -p "$folder"
    "$program" run --out "$folder" --threads 8 "$script" "$@" > "$folder/tables" 2> "$folder/said" & run=$!
    while kill -0 $run 2> /dev/null; do
        sum=0
        for process in $run $(cat /proc/$run/task/*/children 2> /dev/null); do
            part=$(awk '/^Pss:/ { print $2 }' "/proc/$process/smaps_rollup" 2> /dev/null)
            sum=$((sum + ${part:-0}))
        done
        ((sum > peak)) && peak=$sum
    done
    wait $run
    status=$?
    peak_mb=$((peak / 1024))
}

[[ -r /proc/self/smaps_rollup ]] || { echo "the system does not tell what processes take"; exit 0; }
watched --memory-limit 1000
[[ $status == 0 ]] || fail "with room: status $status: $(cat "$folder/said")"
rows=$(cat "$folder/memory.csv")
roomy_mb=$peak_mb
watched --memory-limit 100
[[ $status == 0 && $(cat "$folder/memory.csv") == "$rows" ]] || fail "100 MB: status $status: $(cat "$folder/said")"
((peak_mb <= 100 + own_mb)) || fail "$peak_mb MB were taken of 100 MB"
# What was done is not done again by those that go on; one may have been ended between its reading and its answer.
reads=$(grep -c '^read ' "$folder/said")
((reads <= 9)) || fail "8 points were read $reads times"
watched --memory-limit 100 all=30
[[ $status == 0 && $(cat "$folder/memory.csv") == "$rows" ]] || fail "30 MB around: status $status: $(cat "$folder/said")"
((peak_mb <= 100 + own_mb)) || fail "$peak_mb MB were taken of 100 MB, 30 MB around"
watched --memory-limit 50
[[ $status == 3 && $(cat "$folder/said") == *"memory limit"* ]] || fail "50 MB: status $status: $(cat "$folder/said")"
echo "at most $roomy_mb MB with room; never more than $((100 + own_mb)) of 100 MB"
