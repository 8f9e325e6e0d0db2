/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/reading.h"
#include <stdio.h>
#include <string.h>

const char *bind_error_kind_text(bind_error_kind kind)
{
    static const char *const texts[] = {[ERROR_NONE] = "none",
                                        [ERROR_COUNTED] = "counted",
                                        [ERROR_MESH] = "mesh",
                                        [ERROR_MODEL] = "model"};
    return texts[kind];
}

void bind_column_name(const bind_column *column, size_t number, char name[BIND_COLUMN_ROOM])
{
    const char *suffix = bind_unit_suffix(column->unit), *between = *suffix ? "_" : "";
    const size_t before = column->many && number > 0 ? strcspn(column->stem, "N") : 0;
    if (before > 0)
        snprintf(name, BIND_COLUMN_ROOM, "%.*s%zu%s%s%s", (int)before, column->stem, number,
                 column->stem + before + 1, between, suffix);
    else
        snprintf(name, BIND_COLUMN_ROOM, "%s%s%s", column->stem, between, suffix);
}
