/* What a string adds to a coil's linkage, from its magnetisation in each place.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "string/hearing.h"
#include "string/track.h"

#include <stdlib.h>
#include <string.h>

/* One coil alone: its share of the shares, 1. The caller frees *share. */
static ll_status share_of(const ll_solution *s, size_t coil, double **share)
{
    const size_t coils = ll_scene_coil_count(ll_solution_scene(s));
    if (coil >= coils)
        return LL_NO_COIL;
    *share = calloc(coils, sizeof **share);
    if (!*share)
        return LL_NO_MEMORY;
    (*share)[coil] = 1;
    return LL_OK;
}

static ll_status linkage_at(ll_track *t, const double *share, double x_m, double z_m,
                            double *linkage_wb)
{
    ll_status status = ll_track_place(t, share, x_m, z_m);
    if (!status)
        status = ll_track_magnetise(t, true);
    if (!status)
        status = ll_track_linkage(t, linkage_wb);
    return status;
}

static ll_status linkages(const ll_solution *s, const double *share, const ll_string *string,
                          size_t n, const double *x_m, const double *z_m, double *linkage_wb)
{
    ll_track track;
    double *found = calloc(n + 1, sizeof *found);
    ll_status status = found ? ll_track_new(s, string, &track) : LL_NO_MEMORY;
    if (status) {
        free(found);
        return status;
    }
    for (size_t i = 0; i < n && !status && !ll_string_is_silent(string); i++)
        status = linkage_at(&track, share, x_m[i], z_m[i], &found[i]);
    if (!status)
        memcpy(linkage_wb, found, n * sizeof *found);
    ll_track_clear(&track);
    free(found);
    return status;
}

ll_status ll_string_linkage(const ll_solution *s, size_t coil, const ll_string *string, size_t n,
                            const double *x_m, const double *z_m, double *linkage_wb)
{
    double *share = NULL;
    ll_status status = share_of(s, coil, &share);
    if (!status)
        status = ll_string_check(string);
    if (!status)
        status = linkages(s, share, string, n, x_m, z_m, linkage_wb);
    free(share);
    return status;
}

ll_status ll_string_gradient(const ll_solution *s, size_t coil, const ll_string *string,
                             double *dz_wb_m, double *dx_wb_m)
{
    double *share = NULL;
    ll_hearing *hearing = NULL;
    ll_status status = share_of(s, coil, &share);
    if (!status)
        status = ll_hearing_new(s, share, string, &hearing);
    if (!status)
        ll_hearing_total(hearing, dz_wb_m, dx_wb_m);
    ll_hearing_free(hearing);
    free(share);
    return status;
}
