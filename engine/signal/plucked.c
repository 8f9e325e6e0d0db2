/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "signal/plucked.h"
#include "base/constants.h"
#include "signal/voice_motion.h"
#include "string/hearing.h"

#include <complex.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* integral w sin(n pi y / L) dy over the sounding length, by the trapezoid. */
static double along_shape(const ll_hearing *h, const double *weight, double length_m, size_t n)
{
    double sum = 0, before = 0;
    for (size_t i = 0; i < h->points; i++) {
        const double y = h->y_m[i];
        const bool on = y > 0 && y < length_m;
        const double here = on ? weight[i] * sin((double)n * LL_PI * y / length_m) : 0;
        sum += i ? (y - h->y_m[i - 1]) * (here + before) / 2 : 0;
        before = here;
    }
    return sum;
}

/* amplitude_v[modes] of one coil. */
static ll_status hear_modes(const ll_solution *s, const ll_voice_spec *spec, size_t coil,
                            const ll_motion *motion, double *share, double *amplitude_v)
{
    ll_hearing *h = NULL;
    share[coil] = 1;
    const ll_status status = ll_hearing_new(s, share, &spec->string, &h);
    share[coil] = 0;
    if (status)
        return status;
    ll_hearing_from_bridge(h, spec->from_bridge_m);
    for (size_t i = 0; i < motion->count; i++) {
        const ll_mode *m = &motion->modes[i];
        const double wb = m->x_m * along_shape(h, h->dx_wb_m2, motion->length_m, m->number) +
                          m->z_m * along_shape(h, h->dz_wb_m2, motion->length_m, m->number);
        amplitude_v[i] = 2 * LL_PI * m->frequency_hz * wb;
    }
    ll_hearing_free(h);
    return LL_OK;
}

/* Mean over the first seconds of exp(-(d_l + d_m) t) cos((w_l - w_m) t). */
static double mean_product(const ll_mode *l, const ll_mode *m, double seconds)
{
    const double complex rate =
        l->decay_per_s + m->decay_per_s + 2 * LL_PI * I * (l->frequency_hz - m->frequency_hz);
    if (cabs(rate) * seconds < 1e-9)
        return 1;
    return creal((1 - cexp(-rate * seconds)) / (rate * seconds));
}

/* Both modes of a partial stand next to each other. */
static void add_squares(const ll_motion *motion, size_t coils, const double *amplitude_v,
                        double seconds, double *square_v2)
{
    for (size_t l = 0; l < motion->count; l++)
        for (size_t m = l > 0 ? l - 1 : 0; m < motion->count && m <= l + 1; m++) {
            if (motion->modes[l].number != motion->modes[m].number)
                continue;
            const double mean = mean_product(&motion->modes[l], &motion->modes[m], seconds) / 2;
            for (size_t k = 0; k < coils * coils; k++)
                square_v2[k] += mean * amplitude_v[k / coils * motion->count + l] *
                                amplitude_v[k % coils * motion->count + m];
        }
}

ll_status ll_plucked_squares(const ll_solution *s, const ll_voice_spec *spec, double seconds,
                             double *square_v2)
{
    const size_t coils = ll_scene_coil_count(ll_solution_scene(s));
    ll_motion *motion = NULL;
    if (coils == 0 || !(seconds > 0))
        return coils ? LL_BAD_VALUE : LL_NO_COIL;
    ll_status status = ll_voice_motion(s, spec, NULL, NULL, &motion);
    if (status)
        return status;
    double *share = calloc(coils * (motion->count + 1) + 1, sizeof *share);
    double *amplitude_v = share + coils;
    status = share ? LL_OK : LL_NO_MEMORY;
    for (size_t c = 0; c < coils && !status; c++)
        status = hear_modes(s, spec, c, motion, share, amplitude_v + c * motion->count);
    if (!status) {
        memset(square_v2, 0, coils * coils * sizeof *square_v2);
        add_squares(motion, coils, amplitude_v, seconds, square_v2);
    }
    free(share);
    ll_motion_free(motion);
    return status;
}

struct ll_plucked {
    double length_m;
    size_t partials;
    /* Effective speed at the antinodes along each axis. */
    struct partial {
        size_t number;
        double f_hz, x_m_s, z_m_s;
    } partial[];
};

/* The two modes of a partial are one where nothing pulls. */
static void gather(const ll_motion *motion, double seconds, ll_plucked *plucked)
{
    plucked->length_m = motion->length_m;
    for (const ll_mode *m = motion->modes; m < motion->modes + motion->count; m++) {
        struct partial *p = &plucked->partial[plucked->partials];
        const double speed = 2 * LL_PI * m->frequency_hz * sqrt(mean_product(m, m, seconds) / 2);
        if (plucked->partials == 0 || p[-1].number != m->number) {
            *p = (struct partial){m->number, m->frequency_hz, 0, 0};
            plucked->partials++;
        } else
            p--;
        p->x_m_s += speed * m->x_m;
        p->z_m_s += speed * m->z_m;
    }
}

ll_status ll_plucked_new(const ll_voice_spec *spec, double seconds, ll_plucked **out)
{
    ll_motion *motion = NULL;
    if (!(seconds > 0))
        return LL_BAD_VALUE;
    ll_status status = ll_voice_motion(NULL, spec, NULL, NULL, &motion);
    if (status)
        return status;
    ll_plucked *plucked =
        calloc(1, sizeof *plucked + (motion->count + 1) * sizeof plucked->partial[0]);
    if (plucked) {
        gather(motion, seconds, plucked);
        *out = plucked;
    } else
        status = LL_NO_MEMORY;
    ll_motion_free(motion);
    return status;
}

void ll_plucked_free(ll_plucked *plucked)
{
    free(plucked);
}

size_t ll_plucked_partials(const ll_plucked *plucked)
{
    return plucked->partials;
}

void ll_plucked_hz(const ll_plucked *plucked, double *f_hz)
{
    for (size_t i = 0; i < plucked->partials; i++)
        f_hz[i] = plucked->partial[i].f_hz;
}

/* The voltage is minus what the linkage gains. */
ll_status ll_plucked_voltages(const ll_plucked *plucked, const ll_solution *s,
                              const ll_voice_spec *spec, double *v, double *slope_v)
{
    double dz_wb_m, dx_wb_m;
    ll_hearing *h = NULL;
    const ll_status status = ll_hearing_new(s, spec->share, &spec->string, &h);
    if (status)
        return status;
    ll_hearing_total(h, &dz_wb_m, &dx_wb_m);
    *slope_v = -dz_wb_m;
    ll_hearing_from_bridge(h, spec->from_bridge_m);
    for (size_t i = 0; i < plucked->partials; i++) {
        const struct partial *p = &plucked->partial[i];
        v[i] = -p->x_m_s * along_shape(h, h->dx_wb_m2, plucked->length_m, p->number) -
               p->z_m_s * along_shape(h, h->dz_wb_m2, plucked->length_m, p->number);
    }
    ll_hearing_free(h);
    return LL_OK;
}

void ll_plucked_speeds(const ll_plucked *plucked, double from_bridge_m, double *m_s)
{
    for (size_t i = 0; i < plucked->partials; i++) {
        const struct partial *p = &plucked->partial[i];
        m_s[i] = p->z_m_s * sin((double)p->number * LL_PI * from_bridge_m / plucked->length_m);
    }
}

double ll_plucked_level(size_t coils, const double *square_v2, const double *share)
{
    double sum = 0;
    for (size_t k = 0; k < coils * coils; k++)
        sum += share[k / coils] * square_v2[k] * share[k % coils];
    return sqrt(fmax(0, sum));
}
