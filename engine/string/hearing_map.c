/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The linkage map of a string from the whole model, in as few places as hold it to 1 %. */
#include "base/constants.h"
#include "string/hearing.h"
#include "string/track.h"

#include <stdlib.h>

/* The places stand at the zeros of a Chebyshev polynomial, stretched to the edges. On six steel poles 2 to 3 mm below the slope
 * is then within 0.7 % of that at rest anywhere in the ellipse of motion, for 4 places a side and 0.8 mm each way, and
 * within 1.2 % for 5 places and 1.1 mm, even over the edge of a pole. */
static const double wide_m = 0.8e-3;
enum { FEW = 4, MANY = 5, MOST = MANY * MANY, DEGREE = 6 };

static int places(double half_m, double *at_m)
{
    const int n = half_m > wide_m ? MANY : FEW;
    for (int i = 0; i < n; i++)
        at_m[i] = -half_m * cos((2 * i + 1) * LL_PI / (2 * n)) / cos(LL_PI / (2 * n));
    return n;
}

/* What is asked, and what is found: linkages without the steel's answer to the string, and how many times greater they are with
 * it, at rest and at the corners (bass or treble, below or above). */
typedef struct ll_mapping {
    ll_track track;
    const double *share;
    double half_x_m, half_z_m, rest, corner[2][2];
    double x_m[MOST], z_m[MOST], linkage_wb[MOST];
    size_t n;
} ll_mapping;

/* The linkage with the axis moved by (x, z) from rest, and how much the answer adds where that is wanted. */
static ll_status ask(ll_mapping *m, double x_m, double z_m, double *linkage_wb, double *ratio)
{
    ll_track *t = &m->track;
    ll_status status = ll_track_place(t, m->share, t->string->x_m + x_m, t->string->z_m + z_m);
    if (!status)
        status = ll_track_magnetise(t, false);
    if (!status)
        status = ll_track_linkage(t, linkage_wb);
    if (status || !ratio)
        return status;
    double answered_wb;
    status = ll_track_magnetise(t, true);
    if (!status)
        status = ll_track_linkage(t, &answered_wb);
    if (status)
        return status;
    /* The answer adds some hundredths. Where the linkage cancels, what is left of both says nothing of their ratio. */
    const double bare_wb = *linkage_wb;
    *ratio = fabs(answered_wb - bare_wb) < 0.5 * fabs(bare_wb) ? answered_wb / bare_wb : 1;
    return LL_OK;
}

static ll_status ask_all(ll_mapping *m)
{
    double x[MANY], z[MANY], ignored;
    const int nx = places(m->half_x_m, x), nz = places(m->half_z_m, z);
    ll_status status = ask(m, 0, 0, &ignored, &m->rest);
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < nz && !status; k++, m->n++) {
            const bool corner = i % (nx - 1) == 0 && k % (nz - 1) == 0;
            m->x_m[m->n] = x[i];
            m->z_m[m->n] = z[k];
            status =
                ask(m, x[i], z[k], &m->linkage_wb[m->n], corner ? &m->corner[i > 0][k > 0] : NULL);
        }
    return status;
}

/* The answer adds a few hundredths and changes smoothly: one bilinear function through the corners, and a parabola that
 * meets the value at rest. */
static double ratio_at(const ll_mapping *m, double u, double v)
{
    const double(*c)[2] = m->corner;
    const double corners = ((1 - u) * (1 - v) * c[0][0] + (1 - u) * (1 + v) * c[0][1] +
                            (1 + u) * (1 - v) * c[1][0] + (1 + u) * (1 + v) * c[1][1]) /
                           4;
    const double middle = (c[0][0] + c[0][1] + c[1][0] + c[1][1]) / 4;
    return corners + (m->rest - middle) * (1 - (u * u + v * v) / 2);
}

ll_status ll_hearing_map(const ll_solution *s, const double *share, const ll_string *string,
                         const ll_aperture *aperture, double half_x_m, double half_z_m,
                         ll_linkage_map **out)
{
    if (ll_string_is_silent(string) || !(half_x_m > 0) || !(half_z_m > 0))
        return LL_BAD_VALUE;
    ll_mapping m = {.share = share, .half_x_m = half_x_m, .half_z_m = half_z_m};
    ll_status status = ll_string_check(string);
    if (!status)
        status = ll_track_new(s, string, &m.track);
    if (status)
        return status;
    status = ask_all(&m);
    ll_track_clear(&m.track);
    for (size_t i = 0; i < m.n && !status; i++)
        m.linkage_wb[i] *= ratio_at(&m, m.x_m[i] / half_x_m, m.z_m[i] / half_z_m);
    return status ? status
                  : ll_linkage_map_new(&(ll_linkage_samples){m.n, m.x_m, m.z_m, m.linkage_wb},
                                       DEGREE, aperture, out);
}
