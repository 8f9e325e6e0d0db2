/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bands.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The next bound below: 5 to 2, 2 to 1, 1 to 0.5. */
static double next_below(double bound)
{
    double power = pow(10, floor(log10(bound) + 1e-9));
    double digit = round(bound / power);
    return power * (digit >= 5 ? 2 : digit >= 2 ? 1 : 0.5);
}

/* The largest of ... 0.5, 1, 2, 5 ... that is not above the value. */
static double at_most(double value)
{
    double power = pow(10, floor(log10(value) + 1e-9));
    double digit = value / power * (1 + 1e-9);
    return power * (digit >= 5 ? 5 : digit >= 2 ? 2 : 1);
}

/* Leaves out the bounds that no value reaches on its side; `below` and `all` keep the colours as they were. */
static void trim(picture_bands *bands, size_t count, const double *value)
{
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < count; i++)
        if (isfinite(value[i])) {
            low = fmin(low, value[i]);
            high = fmax(high, value[i]);
        }
    bands->all = bands->bounds;
    while (bands->bounds > 1 && bands->bound[bands->bounds - 1] > high)
        bands->bounds--;
    while (bands->below + 1 < bands->bounds && bands->bound[bands->below] < low)
        bands->below++;
    bands->bounds -= bands->below;
    memmove(bands->bound, bands->bound + bands->below, bands->bounds * sizeof *bands->bound);
}

/* Rising, for qsort. */
static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Magnitudes of what is finite, rising; NULL when memory is short. */
static double *sorted_sizes(size_t count, const double *value, size_t *found)
{
    double *size = malloc((count + 1) * sizeof *size);
    *found = 0;
    for (size_t i = 0; size && i < count; i++)
        if (isfinite(value[i]))
            size[(*found)++] = fabs(value[i]);
    if (size)
        qsort(size, *found, sizeof *size, by_size);
    return size;
}

picture_bands picture_bands_for(size_t count, const double *value, bool is_signed)
{
    picture_bands bands = {.is_signed = is_signed};
    size_t found = 0, most = is_signed ? PICTURE_MOST_BOUNDS / 2 : 10;
    double *size = sorted_sizes(count, value, &found);
    double largest = found ? size[(size_t)(0.995 * (double)(found - 1))] : 0;
    double least = found ? size[(size_t)(0.02 * (double)(found - 1))] : 0;
    free(size);
    double bound = largest > 0 ? at_most(largest) : 1, fall[PICTURE_MOST_BOUNDS];
    size_t n = 0;
    while (n < most && (n == 0 || is_signed || bound > least)) {
        fall[n++] = bound;
        bound = next_below(bound);
    }
    for (size_t i = 0; is_signed && i < n; i++)
        bands.bound[bands.bounds++] = -fall[i];
    for (size_t i = n; i > 0; i--)
        bands.bound[bands.bounds++] = fall[i - 1];
    trim(&bands, count, value);
    return bands;
}

size_t picture_band_of(const picture_bands *bands, double value)
{
    size_t band = 0;
    while (band < bands->bounds && value >= bands->bound[band])
        band++;
    return band;
}

/* Between the colours of a list, share 0 to 1. */
static picture_colour between(const picture_colour *list, size_t count, double share)
{
    double at = share * (double)(count - 1);
    size_t i = at >= (double)(count - 1) ? count - 2 : (size_t)at;
    double t = at - (double)i;
    return (picture_colour){list[i].r + t * (list[i + 1].r - list[i].r),
                            list[i].g + t * (list[i + 1].g - list[i].g),
                            list[i].b + t * (list[i + 1].b - list[i].b)};
}

picture_colour picture_band_colour(const picture_bands *bands, size_t band)
{
    static const picture_colour sizes[] = {
        {0.99, 0.98, 0.92}, {0.84, 0.91, 0.84}, {0.60, 0.81, 0.82}, {0.36, 0.66, 0.78},
        {0.22, 0.48, 0.69}, {0.18, 0.31, 0.57}, {0.13, 0.16, 0.40},
    };
    static const picture_colour signs[] = {
        {0.09, 0.25, 0.50}, {0.26, 0.52, 0.75}, {0.65, 0.81, 0.91}, {0.97, 0.97, 0.96},
        {0.98, 0.80, 0.56}, {0.85, 0.50, 0.14}, {0.50, 0.24, 0.03},
    };
    double share = (double)(bands->below + band) / (double)bands->all;
    return bands->is_signed ? between(signs, sizeof signs / sizeof *signs, share)
                            : between(sizes, sizeof sizes / sizeof *sizes, share);
}

/* Relative luminance as ITU-R BT.709 weighs the primaries. */
bool picture_is_dark(picture_colour colour)
{
    return 0.2126 * colour.r + 0.7152 * colour.g + 0.0722 * colour.b < 0.5;
}
