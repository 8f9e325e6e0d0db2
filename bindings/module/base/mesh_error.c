/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/mesh_error.h"

const bind_mesh_error bind_no_mesh_error = {.error = -1};

void bind_mesh_error_add(bind_mesh_error *e, double error, double accuracy, const char *measure)
{
    e->missed |= error > accuracy;
    if (error < e->error)
        return;
    e->error = error;
    e->accuracy = accuracy;
    e->measure = measure;
}

void bind_mesh_error_join(bind_mesh_error *e, const bind_mesh_error *other)
{
    bind_mesh_error_add(e, other->error, other->accuracy, other->measure);
    e->missed |= other->missed;
}
