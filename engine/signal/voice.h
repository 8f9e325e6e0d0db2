/* voice.h - a plucked string over a solved pickup, all of it: tuned, pulled at by the magnets, moving, and heard.
 *
 * Joins string/ for one string: partials of the stiff string (stiff_string.h), each split by the magnets' pull (pull.h,
 * modes.h), set in motion by the pluck (motion.h), and the linkage map from the whole model (hearing.h) over as wide a range as
 * the partials could reach together where the pickup stands. SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_VOICE_H
#define LL_SIGNAL_VOICE_H

#include "base/api.h"
#include "signal/voltage.h"
#include "string/damping.h"
#include "string/pluck.h"
#include "string/stiff_string.h"
#include "string/string.h"

LL_API_BEGIN

typedef struct ll_voice ll_voice;

typedef struct ll_voice_spec {
    ll_string string;
    ll_string_tuning tuning;
    ll_damping damping;
    ll_pluck pluck;
    double from_bridge_m; /* of y = 0 */
    const double
        *share;     /* [coils of the scene]: the factor with which each counts in the linkage */
    double rate_hz; /* partials below half of it sound */
} ll_voice_spec;

/* The caller frees *out, which keeps nothing of the solution or the spec. LL_STRING_IN_PART also when the string would touch a part
 * as it swings. LL_BAD_VALUE for a pluck that is not on the sounding length or not greater than zero, a pull that overcomes
 * the tension, and a string without magnetism; other statuses as of the headers above. */
ll_status ll_voice_new(const ll_solution *s, const ll_voice_spec *spec, ll_voice **out);
void ll_voice_free(ll_voice *voice);

/* For ll_voltage, which adds them up; lives as long as the voice. One ear hears all coils together; where they nearly cancel, as two
 * coils of which one is reversed, each coil has an ear of its own. */
size_t ll_voice_ears(const ll_voice *voice);
ll_heard_string ll_voice_heard(const ll_voice *voice, size_t ear, double start_s);

/* Partial n as the pluck sounds it: the mean of its two modes, each by its share of the energy. A pluck along one of their axes
 * sounds that one alone. */
double ll_voice_partial_hz(const ll_voice *voice, size_t n);
size_t ll_voice_partials(const ll_voice *voice);

LL_API_END

#endif
