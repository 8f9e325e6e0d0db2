/* plucked.h - strings played over a pickup: what is read of a performance, and its voltage.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_PLUCKED_H
#define LL_BIND_PLUCKED_H

#include "module/readings/tuning.h"
#include "signal/voice.h"

typedef struct bind_plucked {
    bind_pickup *pickup;
    bind_objects strings;
    ll_pluck pluck;
    bind_network *load; /* NULL: nothing connected */
    double seconds;
    double strum_s; /* from one string to the next */
} bind_plucked;

/* The fields that every performance has, for a struct that begins with a bind_plucked. */
#define BIND_PLUCKED_FIELDS                                                                        \
    {"strings",                                                                                    \
     FIELD_OBJECTS,                                                                                \
     offsetof(bind_plucked, strings),                                                              \
     .meaning = "a string or a list of strings",                                                   \
     .required = true,                                                                             \
     .of = &bind_noun_string},                                                                     \
        {"pluck", FIELD_RECORD, offsetof(bind_plucked, pluck),                                     \
         .meaning = "how they are plucked: {position =, displacement =, angle =, width =, "        \
                    "release =}",                                                                  \
         .of = &bind_pluck_noun},                                                                  \
    {                                                                                              \
        "load", FIELD_OBJECT, offsetof(bind_plucked, load),                                        \
            .meaning =                                                                             \
                "an ll.network from the pickup to the amplifier; nothing connected when left "     \
                "out",                                                                             \
            .of = &bind_noun_network                                                               \
    }

/* How long it lasts; `usual` tells what when left out. */
#define BIND_PLUCKED_SECONDS(usual)                                                                \
    {                                                                                              \
        "seconds", FIELD_NUMBER, offsetof(bind_plucked, seconds),                                  \
            .meaning = "how long after the first pluck; " usual " when left out", .unit = UNIT_S,  \
            .high = 120, .above_low = true                                                         \
    }

#define BIND_PLUCKED_STRUM                                                                         \
    {                                                                                              \
        "strum", FIELD_NUMBER, offsetof(bind_plucked, strum_s),                                    \
            .meaning = "time from one string to the next; 0, all at once, when left out",          \
            .unit = UNIT_S, .high = 60                                                             \
    }

/* Asks everything of the pickup that the take needs, with its mesh error, and pushes a box with a voice for each string; NULL in
 * a check. The strings count by what the hot lead hears. */
ll_voice *const *bind_voices(const bind_query *r, const bind_plucked *plucked);

/* The load's network, solved; NULL without a load and in a check. To be asked before the voices. */
const ll_network *bind_plucked_load(const bind_query *r, const bind_plucked *plucked);

size_t bind_plucked_samples(const bind_plucked *plucked);

/* A pluck must be on the sounding length, with its whole width; notes a mistake else. */
void bind_check_pluck(const bind_query *r, const ll_pluck *pluck, const bind_string *string,
                      const ll_stiff_string *tuned);

/* Pushes the voltage of `count` voices, at LL_SOUND_RATE_HZ, through the load. */
double *bind_render(const bind_query *r, const bind_plucked *plucked, size_t count,
                    ll_voice *const *voices, const ll_network *load);

/* Says under a table how the strings were plucked and damped. */
void bind_note_plucked(const bind_result *t, const bind_plucked *plucked);

#endif
