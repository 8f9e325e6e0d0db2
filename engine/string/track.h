/* track.h - a string in one place over a solved pickup: the field along it, its magnetisation, and a coil's field.
 * Private to this folder. SI units; each array has a value for each node along y, or for each element between two.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_STRING_TRACK_H
#define LL_STRING_TRACK_H

#include "reading/readings.h"
#include "string/string.h"

/* How the string carries one field: along it, inside, and the charge that leaves, for each length. */
typedef struct ll_carried {
    double *psi;     /* [nodes] potential on the axis of everything but the string */
    double *h_along; /* [nodes - 1] */
    double *charge;  /* [nodes] */
    ll_response *
        answer; /* the steel's, to charges and moments as they were before the last round; NULL without */
} ll_carried;

typedef struct ll_track {
    const ll_solution *solution;
    const ll_string *string;
    size_t nodes;
    double *y_m;      /* [nodes] rising */
    double *length_m; /* [nodes] of string that each node stands for */
    ll_vec3 *at_m;    /* [nodes] */
    ll_vec3 *h,
        *h_coil; /* [nodes] of everything but the string: the bias, and that of one ampere */
    ll_vec3 *moment,
        *coil_moment; /* [nodes] across the string for each length, A m: in h, and by h_coil */
    ll_carried bias,
        coil; /* A and A/m; the coil's for one ampere, by the slope of the string's law */
} ll_track;

/* Nodes for the scene; no place yet. solution and string must outlive the track. */
ll_status ll_track_new(const ll_solution *solution, const ll_string *string, ll_track *track);
void ll_track_clear(ll_track *track);

/* Puts the axis at (x, z) and reads the bias field there, and that of the coils, each times its share[coils]; NULL: of none.
 * LL_STRING_IN_PART. */
ll_status ll_track_place(ll_track *t, const double *share, double x_m, double z_m);

/* Magnetises the string; `answered` adds the steel's answer to it, charges and moments, to h as well. */
ll_status ll_track_magnetise(ll_track *t, bool answered);

/* What the coil's field, h_coil, makes of the magnetised string. */
ll_status ll_track_excite(ll_track *t, bool answered);

/* dHy/dy at the nodes of a field known there. LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_track_bend(const ll_track *t, const ll_vec3 *h, double *y_by_y);

/* A field known on the axis less `share` times a^2 of its curvature along the string, a the core's radius: by Laplace's equation
 * its mean around the core's surface for 1/4. */
ll_vec3 ll_track_around(const ll_track *t, const ll_vec3 *h, size_t node, double share);

/* mu0 integral M . H_coil dV; after ll_track_place with shares, and before the coil's field is answered. LL_LIBRARY, LL_NO_MEMORY. */
ll_status ll_track_linkage(const ll_track *t, double *linkage_wb);

/* Moment over H across the string for each length at a node, m2. */
double ll_track_across(const ll_track *t, size_t node);

/* Moment along the string for each length in an element, A m, core and wrap. */
double ll_track_along(const ll_track *t, size_t element);

/* Of what is magnetised across: the core, or the whole of a string with a magnetic wrap. */
double ll_string_radius_across_m(const ll_string *string);

/* A string without magnetism: no signal, no pull. */
bool ll_string_is_silent(const ll_string *string);

/* LL_BAD_SIZE for diameters that cannot be. */
ll_status ll_string_check(const ll_string *string);

#endif
