#!/bin/bash
# run.sh PROGRAM SECONDS FOLDER - runs the fuzz target, starting from the project's own scripts; FOLDER keeps what it finds.
# SPDX-License-Identifier: GPL-3.0-or-later
set -euo pipefail
program=$1 seconds=$2 folder=$3
here=$(cd "$(dirname "$0")" && pwd)
mkdir -p "$folder/corpus" "$folder/seeds"
cp "$here"/../scripts/*.lua "$here"/../hostile/*.lua "$here"/../../scripts/*.lua "$folder/seeds"
# Of odd length, so that they are checked: solving them takes long under the sanitizers.
for seed in "$folder"/seeds/*.lua; do
    (($(stat -c %s "$seed") % 2 == 1)) || echo >> "$seed"
done
# Beginnings for caller.lua: any bytes will do. What breaks is kept, so they need not be the same every time.
for i in {1..20}; do
    for mode in L D; do
        { printf %s $mode; head -c 300 /dev/urandom; } > "$folder/seeds/$mode$i"
    done
done
# What other libraries keep for a whole run is no leak of ours.
export LSAN_OPTIONS=suppressions=$here/../leaks.supp:print_suppressions=0
# A leak in an input that ran out of time is as real as any other.
cd "$folder"
"$program" -max_total_time="$seconds" -max_len=4096 -timeout=300 -rss_limit_mb=3000 -detect_leaks=1 -print_final_stats=1 \
    -dict="$here/words.dict" corpus seeds
