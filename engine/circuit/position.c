/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuit/position.h"

#include <complex.h>
#include <math.h>

/* A winding that hears less than this of what the loudest one does counts as deaf to the string, as one under the other strings. */
static const double deaf = 0.05;

static ll_status add_levels(const ll_network *network, const ll_position_heard *heard,
                            double *string_v, double *level_v)
{
    const size_t coils = ll_network_coils(network);
    double all_v2 = 0;
    for (size_t s = 0, k = 0; s < heard->strings; s++) {
        double sum_v2 = 0;
        for (const size_t end = k + heard->partials[s]; k < end; k++) {
            double emf_v[LL_NETWORK_COILS];
            double complex v;
            for (size_t c = 0; c < coils; c++)
                emf_v[c] = heard->coils[c].partial_v[k];
            const ll_status status = ll_network_response_to(network, emf_v, heard->f_hz[k], &v);
            if (status)
                return status;
            sum_v2 += creal(v * conj(v));
        }
        string_v[s] = sqrt(sum_v2);
        all_v2 += sum_v2;
    }
    *level_v = heard->strings ? sqrt(all_v2 / (double)heard->strings) : 0;
    return LL_OK;
}

static double size_of(const double *v)
{
    return sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]);
}

/* Over all directions, and beside it the winding that gives most. */
static void add_hum(size_t coils, const ll_position_heard *heard, const double complex *counts,
                    ll_position *out)
{
    double most = 0, left_v2 = 0;
    for (size_t c = 0; c < coils; c++) {
        const ll_position_coil *coil = &heard->coils[c];
        most = fmax(most, cabs(counts[c]) *
                              (coil->windings > 1 ? coil->winding_hum_v : size_of(coil->hum_v)));
    }
    for (size_t d = 0; d < LL_POSITION_HUM; d++) {
        double complex sum = 0;
        for (size_t c = 0; c < coils; c++)
            sum += counts[c] * heard->coils[c].hum_v[d];
        left_v2 += creal(sum * conj(sum));
    }
    out->hum_v = sqrt(left_v2);
    out->hum_left = most > 0 ? out->hum_v / most : 0;
}

/* What winding w of a coil gives at the output for string s. */
static double given(const ll_position_heard *heard, const double *counts, size_t c, size_t w,
                    size_t s)
{
    const ll_position_coil *coil = &heard->coils[c];
    return counts[c] *
           (coil->windings > 1 ? coil->winding_v[w * heard->strings + s] : coil->slope_v[s]);
}

static size_t windings_of(const ll_position_coil *coil)
{
    return coil->windings > 1 ? coil->windings : 1;
}

/* How many windings hear string s, and whether all give it the same sign. */
static size_t heard_by(size_t coils, const ll_position_heard *heard, const double *counts, size_t s,
                       bool *agree)
{
    double most = 0;
    size_t count = 0, positive = 0;
    for (size_t c = 0; c < coils; c++)
        for (size_t w = 0; w < windings_of(&heard->coils[c]); w++)
            most = fmax(most, fabs(given(heard, counts, c, w, s)));
    for (size_t c = 0; c < coils; c++)
        for (size_t w = 0; w < windings_of(&heard->coils[c]); w++) {
            const double v = given(heard, counts, c, w, s);
            count += fabs(v) > deaf * most;
            positive += v > deaf * most;
        }
    *agree = positive == 0 || positive == count;
    return count;
}

static void find_phase(size_t coils, const ll_position_heard *heard, const double *counts,
                       ll_position *out)
{
    size_t in_phase = 0;
    out->together = 0;
    for (size_t s = 0; s < heard->strings; s++) {
        bool agree;
        if (heard_by(coils, heard, counts, s, &agree) < 2)
            continue;
        out->together++;
        in_phase += agree;
    }
    out->phase = in_phase == out->together ? LL_IN_PHASE
                 : in_phase == 0           ? LL_OUT_OF_PHASE
                                           : LL_MIXED_PHASE;
}

/* Each coil by all that it hears, with the sign that lets it add at low frequency. Silent ones all alike. */
static void adding(size_t coils, const ll_position_heard *heard, const double *counts,
                   double *emf_v)
{
    double all = 0;
    for (size_t c = 0; c < coils; c++) {
        double sum = 0;
        for (size_t s = 0; s < heard->strings; s++)
            sum += pow(heard->coils[c].slope_v[s], 2);
        emf_v[c] = copysign(sqrt(sum), counts[c]);
        all = fmax(all, sqrt(sum));
    }
    for (size_t c = 0; c < coils; c++)
        emf_v[c] = all > 0 ? emf_v[c] / all : copysign(1, counts[c]);
}

ll_status ll_position_read(const ll_network *network, const ll_position_heard *heard,
                           double *string_v, ll_position *out)
{
    const size_t coils = ll_network_coils(network);
    double complex at_hum[LL_NETWORK_COILS], at_low[LL_NETWORK_COILS];
    double counts[LL_NETWORK_COILS], emf_v[LL_NETWORK_COILS];
    ll_position found = {0};
    ll_status status = ll_network_transfer(network, heard->hum_hz, at_hum);
    if (!status)
        status = ll_network_transfer(network, LL_LOW_HZ, at_low);
    if (!status)
        status = ll_network_resistance(network, &found.resistance_ohm);
    if (status)
        return status;
    for (size_t c = 0; c < coils; c++)
        counts[c] = creal(at_low[c]);
    add_hum(coils, heard, at_hum, &found);
    find_phase(coils, heard, counts, &found);
    adding(coils, heard, counts, emf_v);
    status = ll_network_peak_to(network, emf_v, &found.peak);
    if (!status)
        status = add_levels(network, heard, string_v, &found.level_v);
    if (!status)
        *out = found;
    return status;
}
