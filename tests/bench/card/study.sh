#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# How near an impedance measured with a sound card comes to circuits that ngspice stepped through time:
#     tests/bench/card/study.sh build/release/tests/bench_card FOLDER [TRIALS_EACH]
# Each circuit has elements of its own; FOLDER keeps what ngspice gave, so that a second study is quick.
set -euo pipefail
program=$(readlink -f "$1") folder=$2 trials=${3:-20}
here=$(dirname "$(readlink -f "$0")")
sweep_s=3 from_hz=15 to_hz=21000 drift=30e-6 end_s=3.5
mkdir -p "$folder"

# number R L C coupling-of-cover cover-corner coupling-of-core core-corner input-ohm input-farad
networks() {
    cat <<'ROWS'
1 7800 3.1 140e-12 0.45 4000 0.3 900 900e3 90e-12
2 5600 2.2 110e-12 0.2 12000 0.25 1500 1e6 150e-12
3 14200 7.5 180e-12 0.35 3000 0.4 600 500e3 60e-12
4 6100 2.4 450e-12 0.5 2500 0.2 5000 1e6 120e-12
5 9000 4.6 90e-12 0.3 8000 0.45 700 2e6 200e-12
6 4200 1.6 300e-12 0.25 6000 0.15 2500 300e3 80e-12
7 11000 5.2 700e-12 0.4 1800 0.3 9000 1e6 100e-12
8 7100 2.9 130e-12 0.1 15000 0.5 1100 750e3 50e-12
9 8300 3.8 250e-12 0.55 5000 0.1 300 1e6 300e-12
10 6500 2.7 160e-12 0.3 2000 0.35 14000 400e3 110e-12
ROWS
}

# deck PICKUP-LINES RIN CIN > file
deck() {
    awk -v pickup="$1" -v rin="$2" -v cin="$3" -v T=$sweep_s -v f1=$from_hz -v f2=$to_hz -v drift=$drift -v end=$end_s '
        { gsub("@PICKUP@", pickup); gsub("@RIN@", rin); gsub("@CIN@", cin); gsub("@T@", T); gsub("@F1@", f1)
          gsub("@F2@", f2); gsub("@DRIFT@", drift); gsub("@END@", end); gsub("@SERIES@", "47k"); print }' "$here/network.cir.in"
}

# simulate NAME PICKUP RIN CIN: FOLDER/NAME.txt, unless it is there
simulate() {
    [ -s "$folder/$1.txt" ] && return
    local work; work=$(mktemp -d)
    deck "$2" "$3" "$4" > "$work/deck.cir"
    (cd "$work" && ngspice -b deck.cir < /dev/null > log 2>&1) || { cat "$work/log" >&2; exit 1; }
    tail -n +2 "$work/out.txt" > "$folder/$1.txt"
    rm -r "$work"
}

networks | while read -r number r l c k_cover f_cover k_core f_core rin cin; do
    # A loop of 1 uH: its resistance puts the corner where it shall be.
    coil="R1 hot a $r\\nL1 a 0 $l\\nC1 hot 0 $c"
    coil+="\\nL2 b 0 1u\\nR2 b 0 {6.283185307*$f_cover*1u}\\nK12 L1 L2 $k_cover"
    coil+="\\nL3 c 0 1u\\nR3 c 0 {6.283185307*$f_core*1u}\\nK13 L1 L3 $k_core"
    simulate "$number" "$coil" "$rin" "$cin"
    simulate "$number.known" "Rknown hot 0 100k" "$rin" "$cin"
    echo "$number $r $l $c $k_cover $f_cover $k_core $f_core"
done > "$folder/networks"
exec "$program" "$folder" "$trials"
