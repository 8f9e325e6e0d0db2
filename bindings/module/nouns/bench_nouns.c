/* bench_nouns.c - what may stand in the descriptions of the bench: a diagnosis and its readings.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/nouns/bench_nouns.h"
#include "module/nouns/nouns.h"

typedef struct diagnose_options {
    bind_pickup *build;
    bind_objects strings;
    bind_network *circuit;
} diagnose_options;

static const bind_field diagnose_table[] = {
    {"build", FIELD_OBJECT, offsetof(diagnose_options, build),
     .meaning = "the pickup as it should be", .required = true, .of = &bind_noun_pickup},
    {"readings", FIELD_ANY, 0,
     .meaning = "what was measured, see readings; none: what to begin with"},
    {"strings", FIELD_OBJECTS, offsetof(diagnose_options, strings),
     .meaning = "the strings, where their levels were compared", .of = &bind_noun_string},
    {"circuit", FIELD_OBJECT, offsetof(diagnose_options, circuit),
     .meaning = "the controls, cable and input that it plays into, as they should be: "
                "ll.network{ from = build, ... }; for readings at the jack",
     .of = &bind_noun_network},
    {"minutes", FIELD_ANY, 0,
     .meaning =
         "what readings cost at this bench: { faces = 5, gauss = false }, false for one that "
         "cannot be taken; the usual minutes when left out"},
};

static const bind_field readings_table[] = {
    {"dcr", FIELD_ANY, 0,
     .meaning = "dc resistance in ohm, or \"open\"; a list when read several times, as in all "
                "readings that are numbers, and "
                "\"cannot tell\" where one could not"},
    {"coil_dcr", FIELD_ANY, 0,
     .meaning = "of each coil, where its leads can be reached: { 3900, \"open\" }, in the order of "
                "the build"},
    {"temperature", FIELD_NUMBER, 0,
     .meaning = "of the copper as it was measured; 20 when left out", .unit = UNIT_CELSIUS,
     .low = -40, .high = 120, .usual = USUAL_CELSIUS},
    {"inductance", FIELD_ANY, 0,
     .meaning = "on the bridge: { f = 1000, l = 2.9, r = 7200 } in Hz, H and ohm, or q = 2.5 in "
                "place of r, or a list of these"},
    {"resonance", FIELD_ANY, 0,
     .meaning =
         "frequency of the peak with its load: { f = 4200, cable = 500 * ll.pf, input = 1e6 }, "
         "load as in a network"},
    {"gauss", FIELD_ANY, 0,
     .meaning = "over each pole, + where a north pole looks up: { 980, 920, ..., probe = 1 }, "
                "probe the distance in mm; 1 when left out"},
    {"compass", FIELD_ANY, 0,
     .meaning = "over each pole: { \"N\", \"S\", \"weak\", ..., probe = 3 }, the pole's own face; "
                "needle = true "
                "where the letters are those of the needle's end that points at it"},
    {"faces", FIELD_ANY, 0,
     .meaning =
         "at faces of magnets: { { part = \"bar\", side = \"-y\", shows = \"N\" }, ... }, or "
         "gauss = 300 in place of shows, + for a north face; probe = 1"},
    {"levels", FIELD_ANY, 0,
     .meaning = "dB of each string, all against the same one, or words such as \"nothing heard\"; "
                "false where none was taken; plucked alike by the same hand, "
                "pluck = {position =, ...} as in output, or equal = \"velocity\""},
    {"output", FIELD_ANY, 0,
     .meaning =
         "of all strings against a sound pickup of the kind, dB or words: \"nothing "
         "heard\", \"hardly\", \"audible\", \"much softer\", \"softer\", \"as loud as before\", "
         "\"louder\", \"much louder\""},
    {"screwdriver", FIELD_ANY, 0,
     .meaning = "needle of a meter on the hot lead as a blade is pulled off the pole: \"+\", \"-\" "
                "or \"nothing\", one for all poles, a list in the order of p:screwdriver(), or by "
                "names of poles or coils: { [\"screw 1\"] = \"+\", [\"coil 2\"] = \"-\" }"},
    {"hum", FIELD_ANY, 0,
     .meaning = "against a sound pickup of the kind, dB or words as of output"},
    {"tap", FIELD_ANY, 0,
     .meaning = "tapping on it, against a sound pickup of the kind, dB or words as of output"},
    {"wiggle", FIELD_ANY, 0,
     .meaning = "the ohm meter as each lead is moved: \"steady\" or \"jumps\""},
    {"jack", FIELD_ANY, 0,
     .meaning = "ohm meter at the jack, all controls up: { up = 6900, tone_down = 0.4, cable = "
                "\"open\" }, tone_down with the tone turned down, cable at the far end of the "
                "cable; ohm or \"open\"; needs circuit"},
    {"jack_peak", FIELD_ANY, 0,
     .meaning =
         "peak at the end of the cable, all controls up: { f = 3800, rise = 4, tone_down = "
         "620 } in Hz, dB over the lows (0: no peak), and Hz with the tone turned down; needs "
         "circuit"},
    {"tone_knob", FIELD_ANY, 0,
     .meaning = "what turning the tone down does to what is heard: \"darker\", \"nothing\" or "
                "\"silence\"; needs circuit"},
    {"meters", FIELD_ANY, 0,
     .meaning =
         "the meters' limits of error in percent: { dcr = 1, gauss = 5 }; the usual ones of hand "
         "instruments when left out"},
    {"sure", FIELD_FLAG, 0,
     .meaning = "true: the readings are right as they are, and no unit is asked back"},
};

typedef struct identify_options {
    ll_vec3 coil_m;
    double pole_m, dcr_ohm, inductance_h, probe_m, peak_hz, cable_f, bare_m;
    bind_list gauss;
    int looks;
} identify_options;

static const char *const usual_looks[] = {
    "rods", "poles over a bar", "poles between bars", "two coils", "blade", NULL};

#define OPTION(name) offsetof(identify_options, name)

static const bind_field identify_table[] = {
    {"coil", FIELD_PLACE, OPTION(coil_m),
     .meaning =
         "the winding's outer {length, width, height} by caliper, of one coil where there are two",
     .required = true, .unit = UNIT_MM, .high = 300, .above_low = true, .usual = USUAL_EDGE},
    {"looks", FIELD_CHOICE, OPTION(looks),
     .meaning = "what it looks like, where one can see: \"rods\", \"poles over a bar\", \"poles "
                "between bars\", \"two coils\" or \"blade\"",
     .words = usual_looks},
    {"pole", FIELD_NUMBER, OPTION(pole_m),
     .meaning = "diameter of a pole, or thickness of the blade; the usual one when left out",
     .unit = UNIT_MM, .high = 30, .above_low = true},
    {"dcr", FIELD_NUMBER, OPTION(dcr_ohm), .meaning = "dc resistance, of both coils in series",
     .unit = UNIT_OHM, .high = 1e7, .above_low = true, .usual = USUAL_COIL_OHM},
    {"inductance", FIELD_NUMBER, OPTION(inductance_h),
     .meaning = "at 1 kHz, of both coils in series", .unit = UNIT_H, .high = 1000,
     .above_low = true, .usual = USUAL_COIL_H},
    {"gauss", FIELD_LIST, OPTION(gauss),
     .meaning = "over the poles, either sign: { 980, 920, ... }", .width = 1, .unit = UNIT_GAUSS,
     .low = -2e4, .high = 2e4},
    {"probe", FIELD_NUMBER, OPTION(probe_m),
     .meaning = "the probe's distance from the poles; 1 when left out", .unit = UNIT_MM, .high = 50,
     .above_low = true},
    {"peak", FIELD_NUMBER, OPTION(peak_hz), .meaning = "frequency of the peak with its cable",
     .unit = UNIT_HZ, .high = 1e6, .above_low = true, .usual = USUAL_PEAK_HZ},
    {"cable", FIELD_NUMBER, OPTION(cable_f),
     .meaning = "capacitance of that cable; 500 pF when left out", .unit = UNIT_F, .high = 1e-6,
     .usual = USUAL_CABLE_F},
    {"bare", FIELD_NUMBER, OPTION(bare_m),
     .meaning = "diameter of a wire's end without its enamel, by micrometer", .unit = UNIT_MM,
     .high = 1, .above_low = true, .usual = USUAL_BARE},
};

static const bind_field spread_table[] = {
    {"read", FIELD_FUNCTION, 0,
     .meaning = "function(p): returns named values, such as { dcr_ohm = ... }", .required = true},
    {"measured", FIELD_ANY, 0, .meaning = "what was measured of them, by the same names"},
    {"of", FIELD_ANY, 0,
     .meaning = "list of the tolerances to spread: \"wire\", \"turns\", \"winding\", \"magnets\", "
                "\"heights\"; all when left out"},
};

typedef struct balance_options {
    bind_pickup *build;
    bind_objects strings;
    double range_m[2], least_gap_m, within, most_cents;
    int equal;
} balance_options;

static const char *const balance_equals[] = {"pluck", "velocity", NULL};

static const bind_field balance_table[] = {
    {"build", FIELD_OBJECT, offsetof(balance_options, build),
     .meaning = "the pickup, poles as they stand", .required = true, .of = &bind_noun_pickup},
    {"strings", FIELD_OBJECTS, offsetof(balance_options, strings),
     .meaning = "the set; each string's pole is the one below it", .required = true,
     .of = &bind_noun_string},
    {"range", FIELD_PAIR, offsetof(balance_options, range_m),
     .meaning = "how far the poles go, down (negative) and up, from where they stand; {-2, 2} when "
                "left out",
     .unit = UNIT_MM, .low = -50, .high = 50},
    {"least_gap", FIELD_NUMBER, offsetof(balance_options, least_gap_m),
     .meaning = "clear distance that every string keeps; 1.5 when left out", .unit = UNIT_MM,
     .low = 0, .high = 50},
    {"within", FIELD_NUMBER, offsetof(balance_options, within),
     .meaning = "dB that the strings may differ by; 0.5 when left out", .low = 0.01, .high = 20},
    {"most_cents", FIELD_NUMBER, offsetof(balance_options, most_cents),
     .meaning = "how far the magnets may pull a string's pitch down; no limit when left out",
     .low = 0, .high = 1000},
    {"pluck", FIELD_ANY, 0,
     .meaning = "how all strings are plucked, as in output: {position =, displacement =, ...}"},
    {"equal", FIELD_CHOICE, offsetof(balance_options, equal),
     .meaning = "what is alike in all strings: \"pluck\", when left out, or \"velocity\"",
     .words = balance_equals},
    {"want", FIELD_ANY, 0,
     .meaning = "for each string the dB it should be over the mean; all alike when left out"},
};
static const balance_options balance_defaults = {
    .range_m = {-2e-3, 2e-3}, .least_gap_m = 1.5e-3, .within = 0.5};

static const bind_field fit_table[] = {
    {"unknown", FIELD_ANY, 0,
     .meaning = "list of unknowns with their range: { {\"turns\", 5000, 9000}, ... }",
     .required = true},
    {"build", FIELD_FUNCTION, 0, .meaning = "function(v): makes the pickup for the values in v",
     .required = true},
    {"read", FIELD_FUNCTION, 0, .meaning = "function(p): returns named values", .required = true},
    {"measured", FIELD_ANY, 0, .meaning = "what was measured, by the same names", .required = true},
    {"error", FIELD_ANY, 0,
     .meaning =
         "standard deviation of each measured value, by name; a fiftieth of it when left out"},
    {"of", FIELD_ANY, 0,
     .meaning = "list of the tolerances that the build takes as known, as in spread; all that no "
                "unknown sets when left out"},
};

typedef struct report_options {
    const char *file, *title, *date;
    bind_pickup *pickup;
    bind_objects strings;
} report_options;

static const bind_field report_table[] = {
    {"file", FIELD_TEXT, offsetof(report_options, file),
     .meaning = "file to write below --out; ending in .html or .txt", .required = true},
    {"title", FIELD_TEXT, offsetof(report_options, title),
     .meaning = "headline; \"Bench report\" when left out"},
    {"date", FIELD_TEXT, offsetof(report_options, date),
     .meaning = "as it should stand there; scripts know no clock"},
    {"about", FIELD_ANY, 0,
     .meaning = "list of lines under the headline: whose it is, what was complained of"},
    {"pickup", FIELD_OBJECT, offsetof(report_options, pickup),
     .meaning = "the pickup that is drawn", .of = &bind_noun_pickup},
    {"strings", FIELD_OBJECTS, offsetof(report_options, strings),
     .meaning = "strings shown in the drawing", .of = &bind_noun_string},
    {"diagnosis", FIELD_ANY, 0, .meaning = "what ll.diagnose gave"},
    {"after", FIELD_ANY, 0,
     .meaning = "what ll.diagnose gave for the readings after the work; shown beside the others"},
    {"work", FIELD_ANY, 0, .meaning = "list of lines: what was done"},
    {"tables", FIELD_ANY, 0,
     .meaning = "list of tables of results: readings before and after, settings"},
    {"plots", FIELD_ANY, 0,
     .meaning = "list of { table = t, ... } with the fields of t:plot, without 'file'"},
    {"sounds", FIELD_ANY, 0,
     .meaning =
         "list of { says = \"before\", pickup = p, ... } with the fields of p:listen, without "
         "'file'"},
};

typedef struct job_options {
    bind_pickup *build;
    bind_objects strings;
    bind_network *circuit;
    const char *title, *date;
} job_options;

static const bind_field job_table[] = {
    {"build", FIELD_OBJECT, offsetof(job_options, build), .meaning = "the pickup as it should be",
     .required = true, .of = &bind_noun_pickup},
    {"strings", FIELD_OBJECTS, offsetof(job_options, strings), .meaning = "its strings",
     .of = &bind_noun_string},
    {"circuit", FIELD_OBJECT, offsetof(job_options, circuit),
     .meaning = "what it plays into, as in ll.diagnose", .of = &bind_noun_network},
    {"minutes", FIELD_ANY, 0, .meaning = "what readings cost at this bench, as in ll.diagnose"},
    {"title", FIELD_TEXT, offsetof(job_options, title), .meaning = "headline of its report"},
    {"date", FIELD_TEXT, offsetof(job_options, date), .meaning = "as it should stand there"},
    {"about", FIELD_ANY, 0, .meaning = "list of lines: whose it is, what was complained of"},
};

typedef struct instrument_options {
    bind_objects strings;
    double hum_hz;
} instrument_options;

static const bind_field instrument_table[] = {
    {"pickups", FIELD_ANY, 0,
     .meaning = "list of pickups in their places, { name =, pickup = or coil =, from_bridge = }, "
                "see instrument_pickup",
     .required = true},
    {"positions", FIELD_ANY, 0,
     .meaning = "list of the switch's positions: names of pickups, or { from =, wiring = }, see "
                "instrument_position",
     .required = true},
    {"strings", FIELD_OBJECTS, offsetof(instrument_options, strings),
     .meaning = "a string or a list of strings, open; each pickup's own place counts in place of "
                "their 'from_bridge'",
     .required = true, .of = &bind_noun_string},
    {"pluck", FIELD_ANY, 0,
     .meaning = "how they are plucked, {position =, displacement =, ...} as in output"},
    {"controls", FIELD_ANY, 0,
     .meaning = "behind the switch: pots, capacitors, cable and input, the fields of a network"},
    {"hum_f", FIELD_NUMBER, offsetof(instrument_options, hum_hz),
     .meaning = "of the mains; 50 when left out", .unit = UNIT_HZ, .high = 1000, .above_low = true},
};

typedef struct instrument_pickup {
    const char *name, *against;
    bind_pickup *pickup;
    bind_lumped *coil;
    double from_bridge_m, gap_m, level;
    int shows, meter;
    bool hum_cancels;
} instrument_pickup;

static const char *const faces[] = {"N", "S", NULL};
static const char *const needle_ways[] = {"positive", "negative", NULL};

#define STANDS(name) offsetof(instrument_pickup, name)

static const bind_field instrument_pickup_table[] = {
    {"name", FIELD_TEXT, STANDS(name), .meaning = "as positions call it", .required = true},
    {"pickup", FIELD_OBJECT, STANDS(pickup), .meaning = "a pickup that is described",
     .of = &bind_noun_pickup},
    {"coil", FIELD_OBJECT, STANDS(coil),
     .meaning = "in place of 'pickup', one that was only measured: ll.lumped{ r =, l =, c = }",
     .of = &bind_noun_lumped},
    {"from_bridge", FIELD_NUMBER, STANDS(from_bridge_m),
     .meaning = "its distance from the bridge, of a described one that of its y = 0",
     .required = true, .unit = UNIT_MM, .high = 3000, .above_low = true,
     .usual = USUAL_FROM_BRIDGE},
    {"gap", FIELD_NUMBER, STANDS(gap_m),
     .meaning = "clear distance of the strings above its poles; that of the strings when left out",
     .unit = UNIT_MM, .high = 100, .above_low = true, .usual = USUAL_GAP},
    {"shows", FIELD_CHOICE, STANDS(shows),
     .meaning = "measured: the face that looks to the strings, by a compass", .words = faces},
    {"meter", FIELD_CHOICE, STANDS(meter),
     .meaning = "measured: where the needle goes, hot lead against ground, as a steel blade is "
                "pulled off a pole",
     .words = needle_ways},
    {"level", FIELD_NUMBER, STANDS(level),
     .meaning =
         "measured: how loud it is alone, in its place, all pots full up, against 'against'; "
         "as loud when left out",
     .unit = UNIT_DB, .low = -60, .high = 60},
    {"against", FIELD_TEXT, STANDS(against),
     .meaning = "name of the pickup that 'level' is against, described or standing before it; the "
                "first described one when left out"},
    {"hum_cancels", FIELD_FLAG, STANDS(hum_cancels),
     .meaning = "measured: true of one whose own coils cancel hum"},
    {"controls", FIELD_ANY, 0,
     .meaning = "pots and capacitors of its own, before the switch, the fields of a network"},
};

typedef struct instrument_position {
    const char *name;
    int wiring;
    bind_flags reversed;
    bind_list tapped;
} instrument_position;

static const char *const position_wirings[] = {"series", "parallel", NULL};

#define POSITION(name) offsetof(instrument_position, name)

static const bind_field instrument_position_table[] = {
    {"name", FIELD_TEXT, POSITION(name), .meaning = "as the table calls it; 'from' when left out"},
    {"from", FIELD_ANY, 0,
     .meaning = "a name or a list: \"neck\" the whole pickup, \"neck.screws\" one coil of it, the "
                "others bypassed; { from = ... } a position within the position",
     .required = true},
    {"wiring", FIELD_CHOICE, POSITION(wiring), .meaning = "how they are joined; in series",
     .words = position_wirings},
    {"reversed", FIELD_FLAGS, POSITION(reversed),
     .meaning = "for each of them, whether its leads are swapped"},
    {"tapped", FIELD_LIST, POSITION(tapped),
     .meaning = "for each of them, the share of its turns in use", .high = 1, .above_low = true,
     .width = 1, .usual = USUAL_SHARE},
};

const bind_noun bind_bench_nouns[] = {
    {.name = "job", .article = "a job", .size = sizeof(job_options), BIND_NOUN_FIELDS(job_table)},
    {.name = "instrument",
     .article = "an instrument",
     .size = sizeof(instrument_options),
     BIND_NOUN_FIELDS(instrument_table)},
    {.name = "instrument_pickup",
     .article = "a pickup in an instrument",
     .size = sizeof(instrument_pickup),
     BIND_NOUN_FIELDS(instrument_pickup_table)},
    {.name = "instrument_position",
     .article = "a position of a switch",
     .size = sizeof(instrument_position),
     BIND_NOUN_FIELDS(instrument_position_table)},
    {.name = "report",
     .article = "a report",
     .size = sizeof(report_options),
     BIND_NOUN_FIELDS(report_table)},
    {.name = "spread",
     .article = "a spread",
     .size = sizeof(double),
     BIND_NOUN_FIELDS(spread_table)},
    {.name = "balance",
     .article = "a balance",
     .size = sizeof(balance_options),
     .defaults = &balance_defaults,
     BIND_NOUN_FIELDS(balance_table)},
    {.name = "identify",
     .article = "what is to be found out",
     .size = sizeof(identify_options),
     BIND_NOUN_FIELDS(identify_table)},
    {.name = "fit", .article = "a fit", .size = sizeof(double), BIND_NOUN_FIELDS(fit_table)},
    {.name = "diagnose",
     .article = "a diagnosis",
     .size = sizeof(diagnose_options),
     BIND_NOUN_FIELDS(diagnose_table)},
    {.name = "readings",
     .article = "a list of readings",
     .size = sizeof(double),
     BIND_NOUN_FIELDS(readings_table)},
    {.name = NULL},
};
