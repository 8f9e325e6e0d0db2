/* network.c - builds the circuit of coils and controls, and reads it at one frequency.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuit/network.h"
#include "base/constants.h"
#include <math.h>
#include <stdlib.h>

/* A tapped coil is two windings on one core: two sources, one for each part of its turns. */
typedef struct piece {
    size_t branch, coil;
    double share;
} piece;

struct ll_network {
    ll_circuit *circuit;
    size_t output, nodes;
    double input_ohm;
    size_t coil_count, piece_count;
    piece pieces[2 * LL_NETWORK_COILS];
    ll_network_coil coils[LL_NETWORK_COILS]; /* without their rows */
};

/* Keeps the first failure, so that building needs no ladder. */
typedef struct builder {
    ll_network *network;
    const ll_network_spec *spec;
    ll_status status;
} builder;

/* Audio: (b^x - 1) / (b - 1), where b = 81 makes it a tenth at x = 1/2. */
double ll_pot_share(const ll_pot *pot)
{
    const double base = 81;
    return pot->taper == LL_LINEAR_TAPER ? pot->turn : (pow(base, pot->turn) - 1) / (base - 1);
}

static size_t new_node(builder *b)
{
    return ++b->network->nodes;
}

static void resistor(builder *b, size_t cold, size_t hot, double r_ohm)
{
    if (b->status == LL_OK)
        b->status = ll_circuit_add_resistor(b->network->circuit, cold, hot, r_ohm);
}

/* None when it has no capacitance. */
static void capacitor(builder *b, size_t cold, size_t hot, double c_f)
{
    if (b->status == LL_OK && c_f != 0)
        b->status = ll_circuit_add_capacitor(b->network->circuit, cold, hot, c_f);
}

/* The controls behind a group; those of the whole stand in the spec. */
static ll_controls controls_of(const ll_network_spec *spec, size_t group)
{
    if (group > 0)
        return spec->groups[group - 1].controls;
    return (ll_controls){.volume = spec->volume,
                         .tone = spec->tone,
                         .tone_cap_f = spec->tone_cap_f,
                         .tone_at_wiper = spec->tone_at_wiper,
                         .bleed_f = spec->bleed_f,
                         .bleed_ohm = spec->bleed_ohm,
                         .bleed_in_series = spec->bleed_in_series};
}

static double coupling_of(const ll_network_spec *spec, size_t group)
{
    return group > 0 ? spec->groups[group - 1].coupling : spec->coupling;
}

/* Between two pieces: perfect within a coil, none from group to group. */
static double coefficient(const ll_network_spec *spec, const piece *a, const piece *b)
{
    const size_t group = spec->coils[a->coil].group;
    return a->coil == b->coil                    ? 1
           : group == spec->coils[b->coil].group ? coupling_of(spec, group)
                                                 : 0;
}

/* Couples the newest piece to all before it. */
static void couple(builder *b)
{
    const ll_network *network = b->network;
    const piece *newest = &network->pieces[network->piece_count - 1];
    for (const piece *other = network->pieces; other < newest && b->status == LL_OK; other++)
        b->status = ll_circuit_couple(network->circuit, newest->branch, other->branch,
                                      coefficient(b->spec, newest, other));
}

/* The part of a coil that holds this share of its turns. */
static void add_piece(builder *b, size_t coil, size_t cold, size_t hot, double share)
{
    const ll_network_coil *c = &b->spec->coils[coil];
    piece *added = &b->network->pieces[b->network->piece_count];
    if (b->status)
        return;
    b->status = ll_circuit_add_coil(b->network->circuit, cold, hot, c->row_count, c->rows, share,
                                    &added->branch);
    if (b->status)
        return;
    added->coil = coil;
    added->share = share;
    b->network->piece_count++;
    couple(b);
}

/* From cold to hot, or the other way round; what a tap leaves over goes on to an end that hangs open. */
static void add_coil(builder *b, size_t coil, size_t cold, size_t hot)
{
    const ll_network_coil *c = &b->spec->coils[coil];
    const size_t start = c->reversed ? hot : cold, tap = c->reversed ? cold : hot;
    const size_t end = c->tap < 1 ? new_node(b) : tap;
    add_piece(b, coil, start, tap, c->tap);
    if (c->tap < 1)
        add_piece(b, coil, tap, end, 1 - c->tap);
    capacitor(b, start, end, c->c_f);
}

static void add_treble_bleed(builder *b, const ll_controls *c, size_t top, size_t wiper)
{
    const bool in_series = c->bleed_in_series && c->bleed_ohm > 0;
    if (c->bleed_f == 0)
        return;
    const size_t between = in_series ? new_node(b) : top;
    capacitor(b, wiper, between, c->bleed_f);
    if (c->bleed_ohm > 0)
        resistor(b, in_series ? between : wiper, top, c->bleed_ohm);
}

/* A pot across what lies between cold and top; its wiper goes on. */
static void add_volume(builder *b, const ll_controls *c, size_t cold, size_t top, size_t wiper)
{
    const double lower_ohm = c->volume.r_ohm * ll_pot_share(&c->volume);
    resistor(b, wiper, top, fmax(c->volume.r_ohm - lower_ohm, 0));
    resistor(b, cold, wiper, lower_ohm);
    add_treble_bleed(b, c, top, wiper);
}

/* The pot as a rheostat, all of it when turned up, in series with the capacitor. */
static void add_tone(builder *b, const ll_controls *c, size_t cold, size_t node)
{
    if (c->tone_cap_f == 0)
        return;
    const size_t between = c->tone.r_ohm > 0 ? new_node(b) : node;
    if (c->tone.r_ohm > 0)
        resistor(b, between, node, c->tone.r_ohm * ll_pot_share(&c->tone));
    capacitor(b, cold, between, c->tone_cap_f);
}

/* Members of a group: coils by their number, then groups, counted on from them. */
static bool is_member(const ll_network_spec *spec, size_t member, size_t group)
{
    if (member < spec->coil_count)
        return spec->coils[member].group == group && !spec->coils[member].bypassed;
    return spec->groups[member - spec->coil_count].within == group;
}

static size_t count_members(const ll_network_spec *spec, size_t group)
{
    size_t count = 0;
    for (size_t m = 0; m < spec->coil_count + spec->group_count; m++)
        count += is_member(spec, m, group);
    return count;
}

static void add_group(builder *b, size_t group, size_t cold, size_t hot);

/* Groups are no deeper than there are groups. */
static void add_members(builder *b, size_t group, size_t cold, size_t hot)
{
    const ll_network_spec *spec = b->spec;
    const bool series = (group > 0 ? spec->groups[group - 1].wiring : spec->wiring) == LL_SERIES;
    size_t left = count_members(spec, group);
    for (size_t m = 0; m < spec->coil_count + spec->group_count; m++) {
        if (!is_member(spec, m, group))
            continue;
        const size_t top = series && --left > 0 ? new_node(b) : hot;
        if (m < spec->coil_count)
            add_coil(b, m, cold, top);
        else
            add_group(b, m - spec->coil_count + 1, cold, top);
        cold = series ? top : cold;
    }
}

static void add_group(builder *b, size_t group, size_t cold, size_t hot)
{
    const ll_controls c = controls_of(b->spec, group);
    const size_t top = c.volume.r_ohm > 0 ? new_node(b) : hot;
    add_members(b, group, cold, top);
    if (top != hot)
        add_volume(b, &c, cold, top, hot);
    add_tone(b, &c, cold, c.tone_at_wiper ? hot : top);
}

static ll_status build(ll_network *network, const ll_network_spec *spec)
{
    builder b = {network, spec, LL_OK};
    network->output = new_node(&b);
    add_group(&b, 0, 0, network->output);
    for (size_t i = 0; i < spec->coil_count; i++)
        if (spec->coils[i].bypassed)
            add_coil(&b, i, 0, 0);
    capacitor(&b, 0, network->output, spec->cable_f);
    capacitor(&b, 0, network->output, spec->input_f);
    if (spec->input_ohm > 0)
        resistor(&b, 0, network->output, spec->input_ohm);
    return b.status;
}

/* Zero is an absent one. */
static bool sound(double value)
{
    return value >= 0 && isfinite(value);
}

static bool sound_pot(const ll_pot *pot)
{
    return sound(pot->r_ohm) && pot->turn >= 0 && pot->turn <= 1;
}

static bool sound_coil(const ll_network_spec *spec, const ll_network_coil *coil)
{
    return coil->tap > 0 && coil->tap <= 1 && sound(coil->shorted_s) &&
           sound(coil->shorted_share) && coil->shorted_share <= 1 &&
           coil->group <= spec->group_count;
}

static bool sound_controls(const ll_controls *c)
{
    return sound_pot(&c->volume) && sound_pot(&c->tone) && sound(c->tone_cap_f) &&
           sound(c->bleed_f) && sound(c->bleed_ohm);
}

/* n coils that all oppose each other with the coefficient k hold (1 + (n - 1) k) of energy, which cannot be negative. */
static bool sound_group(const ll_network_spec *spec, size_t group)
{
    const double coupling = coupling_of(spec, group);
    const ll_controls controls = controls_of(spec, group);
    double coils = 0;
    for (size_t i = 0; i < spec->coil_count; i++)
        coils += spec->coils[i].group == group;
    return (group == 0 || spec->groups[group - 1].within < group) &&
           count_members(spec, group) > 0 && coupling <= 1 && 1 + (coils - 1) * coupling >= 0 &&
           sound_controls(&controls);
}

static ll_status check(const ll_network_spec *spec)
{
    bool fine = spec->coil_count > 0 && spec->coil_count <= LL_NETWORK_COILS &&
                spec->group_count <= LL_NETWORK_GROUPS && sound(spec->cable_f) &&
                sound(spec->input_ohm) && sound(spec->input_f);
    for (size_t i = 0; fine && i < spec->coil_count; i++)
        fine = sound_coil(spec, &spec->coils[i]);
    for (size_t group = 0; fine && group <= spec->group_count; group++)
        fine = sound_group(spec, group);
    return fine ? LL_OK : LL_BAD_VALUE;
}

ll_status ll_network_new(const ll_network_spec *spec, ll_network **out)
{
    ll_status status = check(spec);
    if (status)
        return status;
    ll_network *network = calloc(1, sizeof *network);
    if (!network)
        return LL_NO_MEMORY;
    network->coil_count = spec->coil_count;
    network->input_ohm = spec->input_ohm;
    for (size_t i = 0; i < spec->coil_count; i++) {
        network->coils[i] = spec->coils[i];
        network->coils[i].rows = NULL;
    }
    status = ll_circuit_new(&network->circuit);
    if (status == LL_OK)
        status = build(network, spec);
    if (status == LL_OK)
        *out = network;
    else
        ll_network_free(network);
    return status;
}

void ll_network_free(ll_network *network)
{
    if (network)
        ll_circuit_free(network->circuit);
    free(network);
}

void ll_network_emf_left(const ll_network_coil *coil, double f_hz, ll_complex *left)
{
    const double complex held = 1 / (1 + 2 * LL_PI * f_hz * coil->shorted_s * I);
    *left = 1 - coil->shorted_share * (1 - held);
}

ll_status ll_network_transfer(const ll_network *network, double f_hz, double complex *transfer)
{
    double complex branches[LL_CIRCUIT_BRANCHES];
    const ll_status status = ll_circuit_transfer(network->circuit, network->output, f_hz, branches);
    if (status)
        return status;
    for (size_t i = 0; i < network->coil_count; i++)
        transfer[i] = 0;
    for (const piece *p = network->pieces; p < network->pieces + network->piece_count; p++)
        transfer[p->coil] += p->share * branches[p->branch];
    for (size_t i = 0; i < network->coil_count; i++) {
        double complex left;
        ll_network_emf_left(&network->coils[i], f_hz, &left);
        transfer[i] *= left;
    }
    return LL_OK;
}

size_t ll_network_coils(const ll_network *network)
{
    return network->coil_count;
}

ll_status ll_network_response_to(const ll_network *network, const double *emf_v, double f_hz,
                                 double complex *out)
{
    double complex coils[LL_NETWORK_COILS], sum = 0;
    const ll_status status = ll_network_transfer(network, f_hz, coils);
    if (status)
        return status;
    for (size_t i = 0; i < network->coil_count; i++)
        sum += emf_v ? emf_v[i] * coils[i] : coils[i];
    *out = sum;
    return LL_OK;
}

ll_status ll_network_response(const ll_network *network, double f_hz, double complex *out)
{
    return ll_network_response_to(network, NULL, f_hz, out);
}

ll_status ll_network_noise_density(const ll_network *network, double f_hz, double *v2_per_hz)
{
    return ll_circuit_noise_density(network->circuit, network->output, f_hz, v2_per_hz);
}

ll_status ll_network_resistance(const ll_network *network, double *r_ohm)
{
    double v2_per_hz;
    const ll_status status = ll_network_noise_density(network, LL_LOW_HZ, &v2_per_hz);
    if (status)
        return status;
    const double with_input_s = 4 * LL_BOLTZMANN * LL_ROOM_K / v2_per_hz;
    *r_ohm = 1 / (with_input_s - (network->input_ohm > 0 ? 1 / network->input_ohm : 0));
    return LL_OK;
}
