# blind_study.awk - adds up the lines of blind_study.lua: awk -f blind_study.awk cases...
# SPDX-License-Identifier: GPL-3.0-or-later
BEGIN { FS = "\t" }

# A line broken off at the end of a run is none.
NF < 7 { next }

{
    two = $3 ~ / \+ /
    group = two ? "two faults" : $3 == "sound" ? "sound" : $3 == "none of these" ? "none of these" : "one fault"
    count("all", $4, $6)
    count(group, $4, $6)
    count($2, $4, $6)
    bin = $5 >= 95 ? 5 : int($5 / 20)
    said[bin] += $5; right[bin] += $6; cases[bin]++
}

NF >= 12 { steps++; everything += $8 == 1; asked += $9; asked_right += $10; fixed += $11; fixed_right += $12 }

function count(name, rank, is_first) {
    if (!(name in n))
        order[++names] = name
    n[name]++; first[name] += is_first; three[name] += rank <= 3
}

END {
    print "after five readings: cases, first, among the first three"
    for (i = 1; i <= names; i++)
        printf "  %-26s %4d  %3.0f %%  %3.0f %%\n", order[i], n[order[i]], 100 * first[order[i]] / n[order[i]],
            100 * three[order[i]] / n[order[i]]
    print "probability of the first: cases, said on average, right"
    for (b = 0; b <= 5; b++)
        if (cases[b])
            printf "  %-26s %4d  %3.0f %%  %3.0f %%\n", b == 5 ? "95 to 100 %" : b * 20 " to " (b == 4 ? 95 : b * 20 + 20) " %",
                cases[b], said[b] / cases[b], 100 * right[b] / cases[b]
    if (steps) {
        printf "one reading after the other until one fault has 90 %% (%d cases): readings, right\n", steps
        printf "  as suggested               %.2f  %3.0f %%\n", asked / steps, 100 * asked_right / steps
        printf "  in a fixed order           %.2f  %3.0f %%\n", fixed / steps, 100 * fixed_right / steps
        printf "  after all nine readings the true fault is first in %.0f %%\n", 100 * everything / steps
    }
}
