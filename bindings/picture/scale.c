/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scale.h"
#include <math.h>
#include <stdio.h>

double picture_place(const picture_scale *scale, double value)
{
    double share = scale->log ? log(value / scale->from) / log(scale->to / scale->from)
                              : (value - scale->from) / (scale->to - scale->from);
    return scale->from_mm + share * (scale->to_mm - scale->from_mm);
}

double picture_step(double range, double wanted, bool degrees)
{
    static const double turns[] = {15, 30, 45, 90, 180};
    double rough = range / fmax(wanted, 1);
    for (int i = 0; degrees && rough > 10 && i < 5; i++)
        if (rough <= turns[i])
            return turns[i];
    double power = pow(10, floor(log10(rough) + 1e-9));
    double share = rough / power;
    return power * (share <= 1 + 1e-9 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
}

/* The next of ... 0.5, 1, 2, 5, 10 ... at or beyond the value: up or down. */
static double round_decade(double value, bool up)
{
    static const double steps[] = {1, 2, 5, 10};
    double power = pow(10, floor(log10(value) + 1e-9));
    double found = up ? 10 : 1;
    for (int i = 0; i < 4; i++) {
        double step = up ? steps[3 - i] : steps[i];
        if (up ? step * power >= value * (1 - 1e-9) : step * power <= value * (1 + 1e-9))
            found = step;
    }
    return found * power;
}

void picture_scale_fit(picture_scale *scale, double low, double high)
{
    if (scale->log) {
        scale->from = round_decade(low, false);
        scale->to = round_decade(high, true);
        if (scale->to <= scale->from * (1 + 1e-9))
            scale->to = round_decade(scale->from * 1.5, true);
        return;
    }
    if (high - low <= 1e-9 * fmax(fabs(low), fabs(high))) {
        double half = low == 0 ? 1 : 0.1 * fabs(low);
        low -= half;
        high += half;
    }
    double step = picture_step(high - low, 6, scale->degrees);
    scale->from = step * floor(low / step + 1e-9);
    scale->to = step * ceil(high / step - 1e-9);
}

/* Counted in whole steps from zero, so that rounding never shows a tick beside its value. */
static size_t linear_ticks(const picture_scale *scale, double wanted, picture_tick *ticks)
{
    double step = picture_step(scale->to - scale->from, wanted, scale->degrees);
    double first = ceil(scale->from / step - 1e-6);
    size_t count = 0;
    for (double i = first; i * step <= scale->to + 1e-6 * step && count < PICTURE_MOST_TICKS; i++)
        ticks[count++] = (picture_tick){i == 0 ? 0 : i * step, true};
    return count;
}

/* Labels stand at 1, 2 and 5 where there is room, else at 1, else at every n-th power. */
static size_t log_ticks(const picture_scale *scale, double wanted, picture_tick *ticks)
{
    double decades = log10(scale->to / scale->from);
    bool fine = 3 * decades <= wanted + 1;
    double every = fmax(1, ceil(decades / fmax(wanted, 1)));
    size_t count = 0;
    for (double power = floor(log10(scale->from) + 1e-9); count < PICTURE_MOST_TICKS; power++) {
        for (int i = 1; i < 10 && count < PICTURE_MOST_TICKS; i++) {
            double value = i * pow(10, power);
            if (value < scale->from * (1 - 1e-9))
                continue;
            if (value > scale->to * (1 + 1e-9))
                return count;
            bool labelled = i == 1 ? fmod(power, every) == 0 : fine && (i == 2 || i == 5);
            if (i == 1 || decades < 6)
                ticks[count++] = (picture_tick){value, labelled};
        }
    }
    return count;
}

size_t picture_ticks(const picture_scale *scale, double wanted,
                     picture_tick ticks[PICTURE_MOST_TICKS])
{
    return scale->log ? log_ticks(scale, wanted, ticks) : linear_ticks(scale, wanted, ticks);
}

/* A minus sign as long as a plus sign is wide, in UTF-8, in place of the hyphen. */
static void set_minus(char *text, size_t size)
{
    char digits[40];
    if (*text != '-')
        return;
    snprintf(digits, sizeof digits, "%s", text + 1);
    snprintf(text, size, "\xe2\x88\x92%s", digits);
}

void picture_tick_text(double value, double step, char *text, size_t size)
{
    if (step > 0) {
        int decimals = (int)fmax(0, -floor(log10(step) + 1e-9));
        snprintf(text, size, "%.*f", decimals, value);
    } else if (value >= 1e3 && value < 1e9) {
        bool mega = value >= 1e6;
        snprintf(text, size, "%.4g%s", value / (mega ? 1e6 : 1e3), mega ? "M" : "k");
    } else {
        snprintf(text, size, "%.4g", value);
    }
    set_minus(text, size);
}
