#!/bin/bash
# run.sh PROGRAM SECONDS FOLDER [SEED] - runs a fuzz target, starting from its corpus and, where it takes scripts, from the project's
# own; FOLDER keeps what it finds. A run with the same SEED tries the same inputs, as far as its time goes; 0, the usual, takes others
# each time.
# SPDX-License-Identifier: GPL-3.0-or-later
set -euo pipefail
program=$(realpath "$1") seconds=$2 folder=$3 first=${4:-0}
here=$(cd "$(dirname "$0")" && pwd)
name=$(basename "$program")
name=${name#fuzz_}
mkdir -p "$folder/corpus" "$folder/seeds"
cp "$here/corpus/$name/"* "$folder/seeds"
# A sandbox that is kept would be searched for leaks after each input: that is done once, at the end.
options=(-max_len=2000 -timeout=10 -close_fd_mask=2 -detect_leaks=0)
case $name in bindings | language | source)
    cp "$here"/../hostile/*.lua "$folder/seeds"
    options+=(-dict="$here/words.dict") ;;
esac
if [[ $name == bindings ]]; then
    cp "$here"/../scripts/*.lua "$here"/../../scripts/*.lua "$folder/seeds"
    # Solving takes long under the sanitizers.
    options+=(-max_len=4096 -timeout=300 -close_fd_mask=0)
    # Of odd length, so that they are checked: see there.
    for seed in "$folder"/seeds/*.lua; do
        (($(stat -c %s "$seed") % 2 == 1)) || echo >> "$seed"
    done
    # Beginnings for caller.lua: any bytes will do, and the program itself has plenty.
    for i in {1..20}; do
        for mode in L D; do
            { printf %s $mode; dd if="$program" bs=300 skip=$((i * 100)) count=1 status=none; } > "$folder/seeds/$mode$i"
        done
    done
elif [[ $name == source ]]; then
    # A path, a script, a module.
    for seed in "$folder"/seeds/*.lua; do
        { printf 'folder/m.lua\0'; cat "$seed"; printf '\0return 1\n'; } > "$seed.source"
        rm "$seed"
    done
fi
[[ -w /dev/shm ]] && export TMPDIR=/dev/shm # files that live for one input
export ASAN_OPTIONS=quarantine_size_mb=32
cd "$folder"
"$program" -max_total_time="$seconds" -rss_limit_mb=3000 -print_final_stats=1 -seed="$first" "${options[@]}" corpus seeds
