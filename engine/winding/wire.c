/* wire.c - enamelled copper wire by gauge or by diameter.
 *
 * Bare diameter: American wire gauge, 0.127 mm * 92^((36 - n) / 39) (ASTM B258). Limits of the bare wire and the
 * diameter over the enamel: NEMA MW 1000, round magnet wire. Between and beyond the listed gauges the figures are
 * interpolated as ratios to the bare diameter, which change slowly.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/constants.h"
#include "winding.h"
#include <math.h>

/* Micrometres: bare least and most, then least, nominal and most over the enamel for each build. */
typedef struct gauge_row {
    double gauge, bare_min, bare_max, outside[2][3];
} gauge_row;

static const gauge_row rows[] = {
    {36, 124, 130, {{135, 141, 147}, {145, 152, 160}}},
    {38, 99, 104, {{107, 113, 119}, {117, 123, 130}}},
    {40, 76, 81, {{81, 88, 94}, {91, 97, 102}}},
    {41, 69, 74, {{74, 79, 84}, {81, 86, 91}}},
    {42, 61, 66, {{66, 71, 76}, {71, 76, 81}}},
    {43, 53, 58, {{58, 62, 66}, {64, 69, 74}}},
    {44, 48, 53, {{53, 57, 61}, {58, 64, 69}}},
    {45, 42.9, 46.4, {{45.5, 48.8, 52.1}, {50.5, 54.5, 58.4}}},
    {46, 38.4, 41.7, {{40.9, 43.9, 47.0}, {46.0, 49.7, 53.3}}},
};
#define ROW_COUNT (sizeof rows / sizeof rows[0])

static double bare_of(double gauge)
{
    return 0.127e-3 * pow(92.0, (36.0 - gauge) / 39.0);
}

/* The listed row as a wire of its own gauge. */
static ll_wire listed(const gauge_row *row, ll_wire_build build)
{
    const double *outside = row->outside[build];
    return (ll_wire){bare_of(row->gauge),
                     row->bare_min * 1e-6,
                     row->bare_max * 1e-6,
                     outside[1] * 1e-6,
                     outside[0] * 1e-6,
                     outside[2] * 1e-6,
                     "ASTM B258; limits and enamel NEMA MW 1000"};
}

/* Gauge within 30 to 50, bare its diameter or one rounded from it. */
static ll_wire wire_of(double gauge, double bare, ll_wire_build build)
{
    size_t i = 0;
    while (i + 2 < ROW_COUNT && rows[i + 1].gauge <= gauge)
        i++;
    const ll_wire a = listed(&rows[i], build), b = listed(&rows[i + 1], build);
    const double step = (gauge - rows[i].gauge) / (rows[i + 1].gauge - rows[i].gauge);
    const double share = fmin(fmax(step, 0.0), 1.0);
/* A figure between two listed wires, as a ratio to the bare diameter. */
#define LIKE_NEIGHBOURS(field)                                                                     \
    (bare * (a.field / a.bare_m + share * (b.field / b.bare_m - a.field / a.bare_m)))
    return (ll_wire){
        .bare_m = bare,
        .bare_min_m = LIKE_NEIGHBOURS(bare_min_m),
        .bare_max_m = LIKE_NEIGHBOURS(bare_max_m),
        .outside_m = LIKE_NEIGHBOURS(outside_m),
        .outside_min_m = LIKE_NEIGHBOURS(outside_min_m),
        .outside_max_m = LIKE_NEIGHBOURS(outside_max_m),
        .source = share == step && (share == 0.0 || share == 1.0)
                      ? a.source
                      : "ASTM B258; limits and enamel like the nearest gauges of NEMA MW 1000"};
#undef LIKE_NEIGHBOURS
}

ll_status ll_wire_awg(double gauge, ll_wire_build build, ll_wire *out)
{
    if (!(gauge >= 30 && gauge <= 50) || (build != LL_SINGLE_BUILD && build != LL_HEAVY_BUILD))
        return LL_BAD_VALUE;
    *out = wire_of(gauge, bare_of(gauge), build);
    return LL_OK;
}

ll_status ll_wire_metric(double bare_m, ll_wire_build build, ll_wire *out)
{
    if (!isfinite(bare_m) || (build != LL_SINGLE_BUILD && build != LL_HEAVY_BUILD))
        return LL_BAD_VALUE;
    if (bare_m <= 0)
        return LL_BAD_SIZE;
    const double gauge = 36.0 - 39.0 * log(bare_m / 0.127e-3) / log(92.0);
    if (!(gauge >= 29.9 && gauge <= 50.1))
        return LL_BAD_VALUE;
    *out = wire_of(gauge, bare_m, build);
    return LL_OK;
}

/* Annealed copper: inferred zero resistance at -234.5 C (IEC 60028). */
double ll_copper_over_20_c(double temperature_c)
{
    return (234.5 + temperature_c) / (234.5 + 20.0);
}

/* Annealed copper: 1.7241e-8 ohm m at 20 C (IEC 60028). */
double ll_wire_ohm_per_m(double bare_m, double temperature_c)
{
    const double area = 0.25 * LL_PI * bare_m * bare_m;
    return 1.7241e-8 / area * ll_copper_over_20_c(temperature_c);
}

/* Annealed copper at 20 C: 8890 kg/m3 (IEC 60028). */
double ll_wire_kg_per_m(double bare_m)
{
    return 8890.0 * 0.25 * LL_PI * bare_m * bare_m;
}
