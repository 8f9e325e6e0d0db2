/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/readings/tuning.h"
#include "module/base/fault.h"
#include "signal/sound.h"

#define FIELD(member) offsetof(ll_pluck, member)

static const bind_field pluck_table[] = {
    {"position", FIELD_NUMBER, FIELD(from_bridge_m),
     .meaning = "its distance from the bridge; 120 mm when left out", .unit = UNIT_MM, .high = 3000,
     .above_low = true},
    {"displacement", FIELD_NUMBER, FIELD(height_m),
     .meaning = "how far the string is pulled aside there; 1 mm when left out", .unit = UNIT_MM,
     .high = 20, .above_low = true},
    {"angle", FIELD_NUMBER, FIELD(angle_rad),
     .meaning = "direction of the pull: 0 to the treble side, 90 away from the pickup; 45 when "
                "left out",
     .unit = UNIT_DEG, .low = -360, .high = 360},
    {"width", FIELD_NUMBER, FIELD(width_m),
     .meaning = "length of string that it touches; 3 mm when left out, a plectrum; a finger has "
                "10 to 15",
     .unit = UNIT_MM, .high = 200},
    {"release", FIELD_NUMBER, FIELD(release_s),
     .meaning = "time in which it lets go; 0.0003 s when left out", .unit = UNIT_S, .high = 0.1},
};

const bind_noun bind_pluck_noun = {
    .name = "pluck", .article = "a pluck", .size = sizeof(ll_pluck), BIND_NOUN_FIELDS(pluck_table)};

/* Of steel, ASTM A228 (from memory); a wound string's wrap of nickel-plated steel or nickel weighs much the same. */
static const double steel_kg_m3 = 7850;

static double usual_mass_kg_m(const bind_string *s)
{
    if (!s->wound)
        return ll_string_plain_mass_kg_m(s->gauge_m, steel_kg_m3);
    return ll_string_wound_mass_kg_m(s->core_m, (s->gauge_m - s->core_m) / 2, steel_kg_m3,
                                     steel_kg_m3);
}

ll_string_tuning bind_tuning(const bind_query *r, const bind_string *s)
{
    if (s->frequency_hz <= 0)
        bind_mistake(r->L, "%s: string %s has no 'note', from which its tension and pitch follow",
                     r->place, bind_quoted(r->L, s->name));
    return (ll_string_tuning){.scale_m = s->scale_m,
                              .frequency_hz = s->frequency_hz > 0 ? s->frequency_hz : 200,
                              .fret = s->fret,
                              .mass_kg_m = s->mass_kg_m > 0 ? s->mass_kg_m : usual_mass_kg_m(s),
                              .diameter_m = s->gauge_m,
                              .core_diameter_m = s->core_m,
                              .young_pa = LL_YOUNG_MUSIC_WIRE_PA};
}

ll_stiff_string bind_tuned(const bind_query *r, const bind_string *s)
{
    ll_stiff_string tuned = {.length_m = s->scale_m, .tension_n = 70, .ideal_hz = 200};
    const ll_string_tuning tuning = bind_tuning(r, s);
    const ll_status status = ll_stiff_string_tune(&tuning, &tuned);
    if (status == LL_BAD_VALUE)
        bind_mistake(r->L,
                     "%s: string %s is so stiff that it sounds its note without tension; look at "
                     "'gauge', 'scale' and 'note'",
                     r->place, bind_quoted(r->L, s->name));
    else
        bind_demand(r->L, status, r->place);
    if (s->from_bridge_m >= tuned.length_m)
        bind_mistake(r->L,
                     "%s: string %s ends %s from the bridge at its fret, before it reaches the "
                     "pickup at 'from_bridge', %s",
                     r->place, bind_quoted(r->L, s->name),
                     bind_quantity(r->L, UNIT_MM, tuned.length_m),
                     bind_quantity(r->L, UNIT_MM, s->from_bridge_m));
    return tuned;
}

ll_damping bind_damping(const bind_string *s)
{
    ll_damping damping = s->wound ? ll_damping_wound : ll_damping_plain;
    if (s->loss > 0)
        damping.eta_constant = s->loss;
    if (s->loss_bending > 0)
        damping.eta_bending = s->loss_bending;
    return damping;
}

ll_voice_spec bind_voice_spec(const bind_query *r, const bind_string *string,
                              const ll_string *placed, const ll_pluck *pluck)
{
    return (ll_voice_spec){.string = *placed,
                           .tuning = bind_tuning(r, string),
                           .damping = bind_damping(string),
                           .pluck = *pluck,
                           .from_bridge_m = string->from_bridge_m,
                           .rate_hz = LL_SOUND_RATE_HZ};
}
