/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/nearest.h"
#include <ctype.h>
#include <string.h>

enum { LONGEST = 40 }; /* names beyond this are compared by their beginning */

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Without regard to case. */
static int same_letter(char a, char b)
{
    return tolower((unsigned char)a) == tolower((unsigned char)b);
}

/* Edits (insert, drop, replace, swap two neighbours) that turn a into b, without regard to case: the optimal
 * string alignment distance, three rows of its table at a time. */
static size_t edits(const char *a, const char *b)
{
    size_t rows[3][LONGEST + 1];
    size_t m = least(strlen(a), LONGEST), n = least(strlen(b), LONGEST);
    for (size_t j = 0; j <= n; j++)
        rows[0][j] = j;
    for (size_t i = 1; i <= m; i++) {
        size_t *now = rows[i % 3], *before = rows[(i + 2) % 3], *earlier = rows[(i + 1) % 3];
        now[0] = i;
        for (size_t j = 1; j <= n; j++) {
            now[j] = least(least(before[j], now[j - 1]) + 1,
                           before[j - 1] + !same_letter(a[i - 1], b[j - 1]));
            if (i > 1 && j > 1 && same_letter(a[i - 1], b[j - 2]) &&
                same_letter(a[i - 2], b[j - 1]))
                now[j] = least(now[j], earlier[j - 2] + 1);
        }
    }
    return rows[m % 3][n];
}

/* One name begins with the other: `mat` for `material`, `diameter_mm` for `diameter`. */
static int one_begins_the_other(const char *a, const char *b)
{
    size_t n = least(strlen(a), strlen(b));
    if (n < 2)
        return 0;
    for (size_t i = 0; i < n; i++)
        if (!same_letter(a[i], b[i]))
            return 0;
    return 1;
}

void bind_nearest_try(bind_nearest *nearest, const char *candidate)
{
    size_t distance = edits(nearest->wanted, candidate);
    size_t allowed = 1 + strlen(nearest->wanted) / 4;
    if (one_begins_the_other(nearest->wanted, candidate))
        distance = least(distance, allowed);
    /* A letter in place of another has nothing in common with it. */
    if (strlen(nearest->wanted) <= distance && strlen(candidate) <= distance)
        return;
    if (distance > allowed || (nearest->name && distance >= nearest->distance))
        return;
    nearest->name = candidate;
    nearest->distance = distance;
}
