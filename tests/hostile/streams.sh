#!/bin/bash
# streams.sh PROGRAM SCRIPT FOLDER - where standard output is full, closed or read by nobody, every command says so and ends with 1.
# SPDX-License-Identifier: GPL-3.0-or-later
set -uo pipefail
program=$1 script=$2 folder=$3
rm -rf "$folder"
mkdir -p "$folder/disk"
fail() { echo "$1"; exit 1; }
trap 'mountpoint -q "$folder/disk" && umount "$folder/disk"' EXIT

# refused STATUS WAY COMMAND...: the status is 1, and the reason is on standard error.
refused() {
    local got=$1 way=$2
    shift 2
    [[ $got == 1 ]] || fail "$way: lodeloom $*: status $got"
    grep -q "standard output cannot be written: ." "$folder/said" || fail "$way: lodeloom $*: $(cat "$folder/said")"
}

try() {
    "$program" "$@" > /dev/full 2> "$folder/said" < /dev/null
    refused $? full "$@"
    "$program" "$@" >&- 2> "$folder/said" < /dev/null
    refused $? closed "$@"
    # Nobody reads: the pipe is closed before the program begins.
    { sleep 0.3; "$program" "$@" 2> "$folder/said" < /dev/null; echo $? > "$folder/status"; } | exec true
    refused "$(cat "$folder/status")" broken "$@"
}

try --help
try --version
try run --help
try scripts
try materials
try materials "alnico 5"
try annotations
try check "$script"
try run "$script"
try run --format json "$script"
try run --stamp "$script"

# The same where it is not the first line that fails: a disk of 64 KB, where one may be made.
if mount -t tmpfs -o size=64k lodeloom "$folder/disk" 2> /dev/null; then
    for words in "run $script lines=9000"; do
        # shellcheck disable=SC2086
        "$program" $words > "$folder/disk/out" 2> "$folder/said"
        refused $? "64 KB" $words
    done
else
    echo "no disk of 64 KB can be made here: only the other ways were tried"
fi

# A reader that never reads: the limit holds until the process has left.
{ "$program" run --time-limit 1 "$script" lines=9000 2> "$folder/said"; echo $? > "$folder/status"; } | sleep 4
[[ $(cat "$folder/status") == 3 ]] || fail "a reader that never reads: status $(cat "$folder/status"): $(cat "$folder/said")"

# With standard output closed, files of results do not take its place.
"$program" run --out "$folder" "$script" file=kept.csv >&- 2> "$folder/said"
refused $? "closed beside a file" run
[[ $(head -c 7 "$folder/kept.csv") == "a,words" ]] || fail "the file holds something else: $(head -c 100 "$folder/kept.csv")"
