/* recorded_nouns.c - what may stand in the options of what is asked of recordings.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/nouns/nouns.h"
#include "module/recorded/recorded.h"

#define CHANNEL .low = 1, .high = LL_RECORDING_MOST_CHANNELS

typedef struct impedance_options {
    double resistor_ohm, known_ohm, channel, reference;
    bind_recording *shorted, *known;
    bind_list f_hz;
    bool one_channel;
} impedance_options;

static const bind_field impedance_table[] = {
    {"resistor", FIELD_NUMBER, offsetof(impedance_options, resistor_ohm),
     .meaning = "the known resistor between player and pickup, as an ohm meter reads it",
     .required = true, .unit = UNIT_OHM, .low = 100, .high = 1e7},
    {"shorted", FIELD_OBJECT, offsetof(impedance_options, shorted),
     .meaning = "recording with a wire across the resistor: how unlike the two channels are",
     .of = &bind_noun_recording},
    {"known", FIELD_OBJECT, offsetof(impedance_options, known),
     .meaning = "recording with another known resistor in the pickup's place: what the input loads",
     .of = &bind_noun_recording},
    {"known_ohm", FIELD_NUMBER, offsetof(impedance_options, known_ohm),
     .meaning = "of that resistor", .unit = UNIT_OHM, .low = 100, .high = 1e7},
    {"channel", FIELD_WHOLE, offsetof(impedance_options, channel),
     .meaning = "that recorded the pickup; 1 when left out", CHANNEL},
    {"reference", FIELD_WHOLE, offsetof(impedance_options, reference),
     .meaning = "channel that recorded the player's own voltage; 2 when left out", CHANNEL},
    {"one_channel", FIELD_FLAG, offsetof(impedance_options, one_channel),
     .meaning =
         "one channel heard both: before the signal's pause with a wire across the resistor, "
         "behind it without"},
    {"f", FIELD_LIST, offsetof(impedance_options, f_hz),
     .meaning = "list of frequencies; 20 Hz to 20 kHz when left out", .unit = UNIT_HZ, .low = 16,
     .high = 20500, .width = 1},
};

typedef struct find_coil_options {
    double cable_f, percent, resistor_percent;
    bind_pickup *pickup;
} find_coil_options;

static const bind_field find_coil_table[] = {
    {"points", FIELD_ANY, 0,
     .meaning = "table with f_hz, r_ohm and l_h, of a recording or of a bridge; sd_ohm where it is "
                "known",
     .required = true},
    {"pickup", FIELD_OBJECT, offsetof(find_coil_options, pickup),
     .meaning = "the pickup as it was described, to compare with", .of = &bind_noun_pickup},
    {"percent", FIELD_NUMBER, offsetof(find_coil_options, percent),
     .meaning =
         "accuracy of points without sd_ohm, of |Z|, one standard deviation; 0.5 when left out",
     .high = 50, .above_low = true},
    {"cable", FIELD_NUMBER, offsetof(find_coil_options, cable_f),
     .meaning = "capacitance of the cable that hung on the pickup; the peak is handed on with it",
     .unit = UNIT_F, .low = 0, .high = 1e-7},
    {"resistor_percent", FIELD_NUMBER, offsetof(find_coil_options, resistor_percent),
     .meaning = "tolerance of the known resistor, or of the bridge: it scales all values; 0 when "
                "left out",
     .high = 50},
};

typedef struct string_options {
    double count, channel, partials;
    bind_objects strings;
} string_options;

#define OF_CHANNEL                                                                                 \
    {                                                                                              \
        "channel", FIELD_WHOLE, offsetof(string_options, channel),                                 \
            .meaning = "that is looked at; 1 when left out", CHANNEL                               \
    }

static const bind_field string_levels_table[] = {
    {"count", FIELD_WHOLE, offsetof(string_options, count),
     .meaning = "how many strings were plucked, from the bass side, once each or several times "
                "round; 6 when left out",
     .low = 1, .high = 20},
    OF_CHANNEL,
};

static const bind_field string_partials_table[] = {
    {"strings", FIELD_OBJECTS, offsetof(string_options, strings),
     .meaning = "the strings that were plucked, in their order", .required = true,
     .of = &bind_noun_string},
    {"partials", FIELD_WHOLE, offsetof(string_options, partials),
     .meaning = "how many of each; 4 when left out", .low = 1, .high = 20},
    OF_CHANNEL,
};

typedef struct hum_options {
    double mains_hz, lines, channel;
    bind_recording *strings;
} hum_options;

static const bind_field hum_lines_table[] = {
    {"mains", FIELD_NUMBER, offsetof(hum_options, mains_hz),
     .meaning = "frequency of the mains, 50 or 60 Hz", .required = true, .unit = UNIT_HZ, .low = 40,
     .high = 70},
    {"strings", FIELD_OBJECT, offsetof(hum_options, strings),
     .meaning = "recording of plucked strings with the same settings, to compare with",
     .of = &bind_noun_recording},
    {"lines", FIELD_WHOLE, offsetof(hum_options, lines),
     .meaning = "how many, the mains' own among them; 10 when left out", .low = 1, .high = 40},
    {"channel", FIELD_WHOLE, offsetof(hum_options, channel),
     .meaning = "that is looked at; 1 when left out", CHANNEL},
};

typedef struct knock_options {
    double channel;
    bind_recording *strings;
} knock_options;

static const bind_field knocks_table[] = {
    {"strings", FIELD_OBJECT, offsetof(knock_options, strings),
     .meaning = "recording of plucked strings with the same settings, to compare with",
     .of = &bind_noun_recording},
    {"channel", FIELD_WHOLE, offsetof(knock_options, channel),
     .meaning = "that is looked at; 1 when left out", CHANNEL},
};

typedef struct compare_options {
    const char *by, *title;
} compare_options;

static const bind_field compare_table[] = {
    {"before", FIELD_ANY, 0, .meaning = "a table of results, or of the model", .required = true},
    {"after", FIELD_ANY, 0, .meaning = "another with the same columns, or of what was measured",
     .required = true},
    {"by", FIELD_TEXT, offsetof(compare_options, by),
     .meaning = "column by which rows belong together; the first when left out"},
    {"columns", FIELD_ANY, 0,
     .meaning = "list of the columns to compare; all others with numbers when left out"},
    {"names", FIELD_ANY, 0,
     .meaning = "what the two are called; { \"before\", \"after\" } when left out"},
    {"title", FIELD_TEXT, offsetof(compare_options, title), .meaning = "printed above the table"},
};

#define OPTIONS(word, says, type, table)                                                           \
    {                                                                                              \
        .name = (word), .article = (says), .size = sizeof(type), BIND_NOUN_FIELDS(table)           \
    }

const bind_noun bind_recorded_nouns[] = {
    OPTIONS("measured_impedance", "a measured impedance", impedance_options, impedance_table),
    OPTIONS("find_coil", "a coil to find", find_coil_options, find_coil_table),
    OPTIONS("string_levels", "a reading of levels", string_options, string_levels_table),
    OPTIONS("string_partials", "a reading of partials", string_options, string_partials_table),
    OPTIONS("hum_lines", "a reading of hum", hum_options, hum_lines_table),
    OPTIONS("knocks", "a reading of knocks", knock_options, knocks_table),
    OPTIONS("compare", "a comparison", compare_options, compare_table),
    {.name = NULL},
};
