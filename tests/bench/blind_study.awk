# blind_study.awk - adds up the lines of blind_study.lua: awk -f blind_study.awk judged...
# SPDX-License-Identifier: GPL-3.0-or-later
BEGIN { FS = "\t"; ordered = split("plucked tapped suggested fixed", mode_at, " ") }

# A line broken off at the end of a run is none.
NF < 11 { next }

# One reading after the other: how many until one fault has 90 %, and what five of them say, or fewer when none is left.
$1 == "suggested" || $1 == "fixed" {
    run = $1 SUBSEP FILENAME SUBSEP $2
    if (!(run in is_right))
        runs[$1]++
    if (!done[run]) {
        steps[$1]++
        then_right[$1] += ($7 == 1) - is_right[run]
        is_right[run] = $7 == 1
        done[run] = $8 >= 90
    }
    if ($6 <= 5)
        fifth[run] = $0
    next
}

{ tally() }

function tally(    group, bin) {
    group = $4 ~ / \+ / ? "two faults" : $4 == "sound" || $4 == "none of these" ? $4 : "one fault"
    add($1, "all"); add($1, group); add($1, $3)
    bin = $8 >= 95 ? 5 : int($8 / 20)
    calibrate($1, bin)
    if ($11 ~ /^sound:/)
        calibrate($1, 6)
}

function add(mode, name,    key) {
    if (!(name in known)) { known[name] = 1; order[++names] = name }
    key = mode SUBSEP name
    n[key]++; first[key] += $7 == 1; alike[key] += $7 == 1 || $10 == "alike"; three[key] += $7 <= 3
}

function calibrate(mode, bin,    key) {
    key = mode SUBSEP bin
    cases[key]++; said[key] += $8; right[key] += $7 == 1
}

function percent(part, whole) { return sprintf("%4.0f %%", 100 * part / whole) }

END {
    for (run in fifth) {
        $0 = fifth[run]
        tally()
    }
    split("0 to 20 %,20 to 40 %,40 to 60 %,60 to 80 %,80 to 95 %,95 to 100 %,sound came first", bin_name, ",")
    for (m = 1; m <= ordered; m++) {
        mode = mode_at[m]
        if (!((mode SUBSEP "all") in n))
            continue
        print mode ": cases, first, first or reads alike, among the first three"
        for (i = 1; i <= names; i++)
            if ((key = mode SUBSEP order[i]) in n)
                printf "  %-26s %4d %s %s %s\n", order[i], n[key], percent(first[key], n[key]), percent(alike[key], n[key]),
                    percent(three[key], n[key])
        print "  probability of the first: cases, said on average, right"
        for (b = 0; b <= 6; b++)
            if ((key = mode SUBSEP b) in cases)
                printf "  %-26s %4d %s %s\n", bin_name[b + 1], cases[key], percent(said[key], 100 * cases[key]),
                    percent(right[key], cases[key])
        if (runs[mode])
            printf "  readings until one fault has 90 %%: %.2f, right then %s\n", steps[mode] / runs[mode],
                percent(then_right[mode], runs[mode])
    }
}
