/* tuning.h - a described string as the engine tunes, damps and plucks it.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_TUNING_H
#define LL_BIND_TUNING_H

#include "module/readings/query.h"
#include "signal/voice.h"

/* A note is needed: without one a mistake is noted and a tuning of no meaning returned. */
ll_string_tuning bind_tuning(const bind_query *r, const bind_string *string);

/* The sounding string; raises when it cannot be tuned, and when the pickup is not under it. */
ll_stiff_string bind_tuned(const bind_query *r, const bind_string *string);

ll_damping bind_damping(const bind_string *string);

/* { position, displacement, angle, width, release }, with a plectrum's defaults. */
extern const bind_noun bind_pluck_noun;
/* Orders of magnitude of a plectrum: common practice, no source. */
#define BIND_USUAL_PLUCK                                                                           \
    {                                                                                              \
        0.120, 1e-3, 0.785398163397448, 3e-3, 0.3e-3                                               \
    }

/* A string as it is heard in its place, without the coils' shares. */
ll_voice_spec bind_voice_spec(const bind_query *r, const bind_string *string,
                              const ll_string *placed, const ll_pluck *pluck);

#endif
