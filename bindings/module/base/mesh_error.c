/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/mesh_error.h"
#include <math.h>

const bind_mesh_error bind_no_mesh_error = {.error = -1};

void bind_mesh_error_add(bind_mesh_error *e, const bind_mesh_error *more)
{
    const bool missed = e->missed || more->missed || more->error > more->accuracy;
    const double widest = fmax(e->widest, more->widest);
    if (more->error >= e->error)
        *e = *more;
    e->missed = missed;
    e->widest = widest;
}
