#!/bin/bash
# watch.sh PROGRAM FOLDER: a script under --watch runs when it is saved, also as the module that it requires, gets over a mistake, and ends when
# it is told to.
# SPDX-License-Identifier: GPL-3.0-or-later
set -euo pipefail
program=$1 folder=$2
rm -rf "$folder" && mkdir -p "$folder" && cd "$folder"
fail() { echo "$1"; cat out err; kill "$watcher" 2>/dev/null || true; exit 1; }
wait_for() { # TEXT FILE
    for _ in $(seq 300); do
        grep -q "$1" "$2" && return
        sleep 0.1
    done
    fail "'$1' did not come"
}
echo 'print("first " .. require("part"))' >own.lua
echo 'return "of one"' >part.lua
"$program" run own.lua --watch >out 2>err &
watcher=$!
wait_for 'watching' err
wait_for 'first of one' out
echo 'return "of two"' >part.lua
wait_for 'first of two' out
echo 'print("unfinished' >own.lua
wait_for 'own.lua:1' err
echo 'print("last")' >new.lua && mv new.lua own.lua
wait_for 'last' out
kill "$watcher"
wait "$watcher" || true
(($(grep -c . out) >= 3)) || fail "too few runs"
