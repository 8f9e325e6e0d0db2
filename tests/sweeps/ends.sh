#!/bin/bash
# ends.sh PROGRAM SCRIPT FOLDER - however one of a sweep's processes ends, the run ends with the right status, the other rows are
# kept, and nothing is left running.
# SPDX-License-Identifier: GPL-3.0-or-later
set -uo pipefail
program=$1 script=$2 folder=$3 left=
fail() { echo "$1"; exit 1; }

# ends STATUS WORDS HOW [OPTIONS]
ends() {
    local status=$1 words=$2 how=$3 said got
    shift 3
    rm -rf "$folder"
    mkdir -p "$folder"
    said=$("$program" run --threads 2 --out "$folder" --memory-limit 100 "$@" "$script" how="$how" 2>&1 > "$folder/tables")
    got=$?
    [[ $got == "$status" ]] || fail "$how: status $got, expected $status: $said"
    [[ $said == *"$words"* ]] || fail "$how: '$words' is not in: $said"
    [[ $(wc -l < "$folder/ends.csv.rows") -ge 2 ]] || fail "$how: no row was kept"
}

ends 1 "n = 20" error
[[ ! -s $folder/tables ]] || fail "something was printed before the error"
ends 3 "memory limit" memory
ends 3 "time limit" loop --time-limit 1
# The system's own memory may end before the limit does; a sanitizer's shadow does not fit under such a lid.
if (ulimit -v 600000 && "$program" --version > "$folder/version" 2>&1); then
    (ulimit -v 600000 && ends 3 "memory limit" memory --memory-limit 100000) || exit 1
fi

# What build prints goes to standard error, and the results are those of one process, byte for byte.
ends 0 "point 17" fine
one=$(cat "$folder/tables" "$folder/ends.csv")
ends 0 "point 17" fine --threads 1
[[ $one == "$(cat "$folder/tables" "$folder/ends.csv")" ]] || fail "one process and two differ"

# Its own process ended from outside, or the whole run interrupted, ended or killed: told where it can be, and nothing stays behind.
gone() { # within two seconds; nobody may wait for what a killed run leaves
    local i
    for i in $(seq 40); do
        [[ -e /proc/$1 ]] && ! grep -q '^State:.*zombie' "/proc/$1/status" 2> /dev/null || return 0
        sleep 0.05
    done
    kill -9 "$1"
    return 1
}
for way in worker interrupt terminate kill; do
    rm -rf "$folder"
    mkdir -p "$folder"
    "$program" run --threads 2 --out "$folder" "$script" how=loop 2> "$folder/said" > /dev/null & run=$!
    until [[ -s $folder/ends.csv.rows ]]; do sleep 0.05; done
    sleep 0.3
    workers=$(cat /proc/$run/task/*/children)
    case $way in
        worker) for worker in $workers; do kill -9 "$worker"; done; expected=1 ;;
        interrupt) kill -INT $run; expected=130 ;;
        terminate) kill -TERM $run; expected=130 ;;
        kill) kill -9 $run; expected=137 ;;
    esac
    wait $run 2> /dev/null
    got=$?
    [[ $got == "$expected" ]] || fail "$way: status $got, expected $expected: $(cat "$folder/said")"
    for worker in $workers; do
        gone "$worker" || left="$left $worker"
    done
    [[ -z $left ]] || fail "$way: processes are left:$left"
done
