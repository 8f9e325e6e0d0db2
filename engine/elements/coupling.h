/* coupling.h - what one body's layers do at another body's surface: in closed form when they are near, as points when they stand
 * apart; kept as a product of thin matrices, or whole for bodies of one cluster. Couplings depend on the two forms and
 * on how they stand to each other alone, so equal pairs share one: ll_coupling_get.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_COUPLING_H
#define LL_ELEMENTS_COUPLING_H

#include "base/key.h"
#include "elements/form.h"
#include "elements/lowrank.h"
#include <stdbool.h>

/* LL_CLOSE: some unknowns of one surface are so near to some of the other that points no longer stand for them.
 * LL_FACING: a good part of a surface lies against the other, so that their charges cannot be told apart one body at a
 * time. */
typedef enum ll_nearness { LL_APART, LL_CLOSE, LL_FACING } ll_nearness;

/* A form where it stands, and whether it has no dipoles, only charges. */
typedef struct ll_placed {
    const ll_form *form;
    ll_pose pose;
    bool charges_only;
} ll_placed;

/* What a coupling depends on. LL_FACING asks for whole matrices. */
typedef struct ll_coupling_key {
    const ll_form *target, *source;
    ll_pose source_in_target;
    ll_nearness nearness;
    bool charges_only; /* the source has no dipoles */
    double contact_m;  /* air that is left where the two touch; 0 for LL_APART */
} ll_coupling_key;

typedef struct ll_coupling {
    ll_shared shared;
    ll_coupling_key key;
    double *single, *dbl; /* LL_FACING: [nc_t][nc_s], [nc_t][ns_s] */
    ll_lowrank
        thin; /* else: columns are charges in units of the source's size, then dipoles unless charges only */
} ll_coupling;

extern const ll_members ll_coupling_members;

ll_nearness ll_coupling_nearness(const ll_placed *a, const ll_placed *b);
/* From the cache or new: a share (ll_share, ll_release). LL_FACING ones are not kept: they are large, and the cluster that wants
 * them keeps only half of each. Thread-safe. */
ll_status ll_coupling_get(const ll_placed *target, const ll_placed *source, ll_nearness nearness,
                          double contact_m, ll_coupling **out);
size_t ll_coupling_bytes(const ll_coupling *coupling);

/* surface[nc_t] += factor K w, of a whole coupling. */
void ll_coupling_add_whole(const ll_coupling *coupling, double factor, const double *w,
                           double *surface);
/* surface[nc_t] += K w + S lambda, of a thin one. */
ll_status ll_coupling_add_thin(const ll_coupling *coupling, const double *w, const double *lambda,
                               double *surface);

#endif
