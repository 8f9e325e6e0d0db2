/* mesh_error.h - how far the mesh may put a result off. It is gathered while the engine is asked, stays with what was solved, and goes
 * on with the table. Errors are relative; below zero there is none.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_MESH_ERROR_H
#define LL_BIND_MESH_ERROR_H

#include <stdbool.h>

typedef struct bind_mesh_error {
    double error;
    double accuracy;     /* what was asked for */
    const char *measure; /* what both are relative to, in words */
    bool missed;         /* one of them is worse than was asked for */
    double
        widest; /* the worst of all, relative to the largest value that there is, however small */
} bind_mesh_error;

/* Nothing came from a mesh yet. */
extern const bind_mesh_error bind_no_mesh_error;

/* One more kind of values, or all that another one has gathered; the worst stays. */
void bind_mesh_error_add(bind_mesh_error *e, const bind_mesh_error *more);

#endif
