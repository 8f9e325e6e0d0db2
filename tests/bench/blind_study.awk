# blind_study.awk - adds up the lines of blind_study.lua: awk -f blind_study.awk judged...
# SPDX-License-Identifier: GPL-3.0-or-later
BEGIN { FS = "\t"; number["all"] = 0 }

# A line broken off at the end of a run is none.
NF < 10 { next }

{
    mode = $1; truth = $4; rank = $7; said = $8
    group = truth ~ / \+ / ? "two faults" : truth == "sound" || truth == "none of these" ? truth : "one fault"
}

mode == "five" {
    add("all", rank); add(group, rank); add($3, rank)
    bin = said >= 95 ? 5 : int(said / 20)
    sum[bin] += said; right[bin] += rank == 1; cases[bin]++
    if ($10 ~ /^sound:/) { sounds++; sound_said += said; sound_right += rank == 1 }
}

# One reading after the other: the last line of a case says what all readings say.
mode != "five" {
    key = mode SUBSEP FILENAME SUBSEP $2
    if (!(key in done)) { done[key] = 0; runs[mode]++ }
    if (!done[key]) { steps[mode]++; is_right[key] = rank == 1; settled[key] = done[key] = said >= 90 }
    if ($6 <= 5) { first5[key] = rank == 1; three5[key] = rank <= 3 }
    last[key] = rank == 1
}

function add(name, rank) {
    if (!(name in n))
        order[++names] = name
    n[name]++; first[name] += rank == 1; three[name] += rank <= 3
}

function total(values, mode,    key, part, result) {
    for (key in values) {
        split(key, part, SUBSEP)
        if (part[1] == mode)
            result += values[key]
    }
    return 100 * result / runs[mode]
}

END {
    print "after five readings, always the same: cases, first, among the first three"
    for (i = 1; i <= names; i++)
        printf "  %-26s %4d  %3.0f %%  %3.0f %%\n", order[i], n[order[i]], 100 * first[order[i]] / n[order[i]],
            100 * three[order[i]] / n[order[i]]
    print "probability of the first: cases, said on average, right"
    for (b = 0; b <= 5; b++)
        if (cases[b])
            printf "  %-26s %4d  %3.0f %%  %3.0f %%\n", b == 5 ? "95 to 100 %" : b * 20 " to " (b == 4 ? 95 : b * 20 + 20) " %",
                cases[b], sum[b] / cases[b], 100 * right[b] / cases[b]
    if (sounds)
        printf "  %-26s %4d  %3.0f %%  %3.0f %%\n", "sound came first", sounds, sound_said / sounds, 100 * sound_right / sounds
    if (runs["suggested"]) {
        printf "one reading after the other (%d cases): readings until one fault has 90 %%, right then;\n", runs["suggested"]
        print "    after five of them first, among the first three; after all first"
        for (mode in runs)
            printf "  %-26s %5.2f  %3.0f %%  %3.0f %%  %3.0f %%  %3.0f %%\n", mode, steps[mode] / runs[mode], total(is_right, mode),
                total(first5, mode), total(three5, mode), total(last, mode)
    }
}
