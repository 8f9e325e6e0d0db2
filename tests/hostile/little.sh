#!/bin/bash
# little.sh PROGRAM SCRIPT - where the system gives the process little stack or few addresses, it says so and ends at once.
# SPDX-License-Identifier: GPL-3.0-or-later
set -uo pipefail
program=$1 script=$2
fail() { echo "$1"; exit 1; }

# little WORDS LIMIT...: status 3 and the words, or a library's own message where not even the libraries fit.
little() {
    local words=$1 said got
    shift
    said=$(ulimit "$@" && timeout 20 "$program" run "$script" 2>&1 > /dev/null)
    got=$?
    [[ $got == 127 && $said == *"shared libraries"* ]] && return
    [[ $said == "OpenBLAS blas_thread_init: pthread_create failed"* ]] && return # it ends the process before its main begins
    [[ $got == 3 && $said == *"$words"* ]] || fail "ulimit $*: status $got: $said"
}

for kilobytes in 64 128 500; do
    little "the stack is limited to $kilobytes KB" -s $kilobytes
done
for kilobytes in 60000 80000 120000 200000; do
    little "the memory of the process is limited to $kilobytes KB" -v $kilobytes
done
# Files that may not grow any more.
folder=$(mktemp -d)
trap 'rm -r "$folder"' EXIT
for words in "lines=9000" "file=grown.csv rows=2000"; do
    # shellcheck disable=SC2086
    said=$(ulimit -f 4 && "$program" run --out "$folder" "$script" $words 2>&1 > "$folder/out")
    got=$?
    [[ $got == 1 && $said == *"File too large"* ]] || fail "a file of 4 KB, $words: status $got: $said"
done
[[ ! -e $folder/grown.csv ]] || fail "half a file was left"

# A soft limit is raised.
(ulimit -S -s 64 && "$program" run "$script" > /dev/null) || fail "a soft limit of the stack is not raised"
