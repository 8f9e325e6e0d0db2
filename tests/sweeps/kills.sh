#!/bin/bash
# kills.sh PROGRAM SCRIPT FOLDER KILLS - kills a sweep at random instants, begins it again each time, and compares what it
# leaves in the end with the file of a run that nobody disturbed, byte for byte. Where a small disk can be mounted, for which it
# takes root, the rows go there, and before one run in four it is filled but for some kilobytes.
# SPDX-License-Identifier: GPL-3.0-or-later
set -euo pipefail
program=$1 script=$2 folder=$3 kills=$4
seed=${SEED:-$$}
RANDOM=$seed
torn=$folder/torn ballast=$folder/torn/ballast
mountpoint -q "$torn" && umount "$torn"
rm -rf "$folder"
mkdir -p "$folder/calm" "$torn"

fail() { echo "$1 (SEED=$seed)"; exit 1; }

small=no
if mount -t tmpfs -o size=256k lodeloom "$torn" 2> /dev/null; then
    small=yes
    trap 'umount "$torn"' EXIT
else
    echo "no small disk can be mounted here: kills alone"
fi

# Every row once, and the file as it should be.
compare() {
    cmp "$folder/calm/rows.csv" "$torn/rows.csv" || fail "the file differs"
    local points
    points=$(tail -n +2 "$torn/rows.csv.rows" | cut -f 1 | cut -d ' ' -f 2 | sort -n | uniq | wc -l)
    [[ $points == 300 ]] || fail "$points points of 300"
    [[ $(wc -l < "$torn/rows.csv.rows") == 301 ]] || fail "a point was computed twice"
}

# One run in four finds room for some rows more, or for none.
fill() {
    rm -f "$ballast"
    [[ $small == yes && $((RANDOM % 4)) == 0 ]] || return 0
    local room
    room=$(df --output=avail -k "$torn" | tail -n 1)
    room=$((room - RANDOM % 9))
    ((room <= 0)) || head -c "${room}k" /dev/zero > "$ballast"
    filled=$((filled + 1))
}

# How a run may end: by the kill, whole, or, on a full disk, with a message.
ended() {
    local status=$1
    if [[ $status == 0 ]]; then
        compare
        whole=$((whole + 1))
        rm "$torn"/rows*
    elif [[ $status == 1 && -e $ballast ]]; then
        grep -q "cannot be written: the disk is full" "$folder/said" || fail "a full disk: $(cat "$folder/said")"
        full=$((full + 1))
    elif [[ $status != 137 ]]; then
        fail "status $status: $(cat "$folder/said")"
    fi
}

"$program" run --out "$folder/calm" --threads 2 "$script" work=20000
whole=0 filled=0 full=0
for ((done = 0; done < kills;)); do
    fill
    "$program" run --quiet --out "$torn" --threads 2 "$script" work=300000 2> "$folder/said" & victim=$!
    [[ ! -e $ballast ]] || sleep 0.5 # that it may come to the end of the disk
    sleep "0.$(printf %03d $((RANDOM % 250)))"
    if kill -9 "$victim" 2> /dev/null; then
        done=$((done + 1))
    fi
    status=0
    wait "$victim" 2> /dev/null || status=$?
    ended $status
done
rm -f "$ballast"
"$program" run --quiet --out "$torn" --threads 2 "$script" work=300000
compare
echo "$done kills, $((whole + 1)) whole sweeps; the disk was filled $filled times, $full of them ended with its message"
