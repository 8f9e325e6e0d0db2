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

/* Couples the newest piece to all before it: perfectly to its own coil's other part. */
static void couple(builder *b)
{
    const ll_network *network = b->network;
    const piece *newest = &network->pieces[network->piece_count - 1];
    for (const piece *other = network->pieces; other < newest && b->status == LL_OK; other++)
        b->status = ll_circuit_couple(network->circuit, newest->branch, other->branch,
                                      newest->coil == other->coil ? 1 : b->spec->coupling);
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

/* Returns the node where the coils' hot end is. */
static size_t add_coils(builder *b)
{
    const size_t hot = new_node(b);
    size_t cold = 0;
    for (size_t i = 0; i < b->spec->coil_count; i++) {
        const bool between = b->spec->wiring == LL_SERIES && i + 1 < b->spec->coil_count;
        const size_t top = between ? new_node(b) : hot;
        add_coil(b, i, cold, top);
        cold = between ? top : 0;
    }
    return hot;
}

static void add_treble_bleed(builder *b, size_t hot, size_t wiper)
{
    const ll_network_spec *spec = b->spec;
    const bool in_series = spec->bleed_in_series && spec->bleed_ohm > 0;
    if (spec->bleed_f == 0)
        return;
    const size_t between = in_series ? new_node(b) : hot;
    capacitor(b, wiper, between, spec->bleed_f);
    if (spec->bleed_ohm > 0)
        resistor(b, in_series ? between : wiper, hot, spec->bleed_ohm);
}

/* Returns the node where the signal goes on: the wiper, or the coils without a volume pot. */
static size_t add_volume(builder *b, size_t hot)
{
    const ll_pot *volume = &b->spec->volume;
    if (volume->r_ohm == 0)
        return hot;
    const size_t wiper = new_node(b);
    const double lower_ohm = volume->r_ohm * ll_pot_share(volume);
    resistor(b, wiper, hot, fmax(volume->r_ohm - lower_ohm, 0));
    resistor(b, 0, wiper, lower_ohm);
    add_treble_bleed(b, hot, wiper);
    return wiper;
}

/* The pot as a rheostat, all of it when turned up, in series with the capacitor. */
static void add_tone(builder *b, size_t node)
{
    const ll_pot *tone = &b->spec->tone;
    if (b->spec->tone_cap_f == 0)
        return;
    const size_t between = tone->r_ohm > 0 ? new_node(b) : node;
    if (tone->r_ohm > 0)
        resistor(b, between, node, tone->r_ohm * ll_pot_share(tone));
    capacitor(b, 0, between, b->spec->tone_cap_f);
}

static ll_status build(ll_network *network, const ll_network_spec *spec)
{
    builder b = {network, spec, LL_OK};
    const size_t hot = add_coils(&b);
    network->output = add_volume(&b, hot);
    add_tone(&b, spec->tone_at_wiper ? network->output : hot);
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

static bool sound_coils(const ll_network_spec *spec)
{
    bool fine = spec->coil_count > 0 && spec->coil_count <= LL_NETWORK_COILS;
    for (size_t i = 0; fine && i < spec->coil_count; i++)
        fine = spec->coils[i].tap > 0 && spec->coils[i].tap <= 1 &&
               sound(spec->coils[i].shorted_s) && sound(spec->coils[i].shorted_share) &&
               spec->coils[i].shorted_share <= 1;
    /* n coils that all oppose each other with the coefficient k hold (1 + (n - 1) k) of energy, which cannot be negative. */
    return fine && spec->coupling <= 1 && 1 + ((double)spec->coil_count - 1) * spec->coupling >= 0;
}

static ll_status check(const ll_network_spec *spec)
{
    const bool fine = sound_coils(spec) && sound_pot(&spec->volume) && sound_pot(&spec->tone) &&
                      sound(spec->tone_cap_f) && sound(spec->bleed_f) && sound(spec->bleed_ohm) &&
                      sound(spec->cable_f) && sound(spec->input_ohm) && sound(spec->input_f);
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

ll_status ll_network_response(const ll_network *network, double f_hz, double complex *out)
{
    double complex coils[LL_NETWORK_COILS], sum = 0;
    const ll_status status = ll_network_transfer(network, f_hz, coils);
    if (status)
        return status;
    for (size_t i = 0; i < network->coil_count; i++)
        sum += coils[i];
    *out = sum;
    return LL_OK;
}

ll_status ll_network_noise_density(const ll_network *network, double f_hz, double *v2_per_hz)
{
    return ll_circuit_noise_density(network->circuit, network->output, f_hz, v2_per_hz);
}
