/* settings.h - what the program that carries the module allows and wants.
 * One for each Lua state. A plain `lua5.4` keeps the defaults; the host program sets its own before a script
 * starts.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_SETTINGS_H
#define LL_BIND_SETTINGS_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

typedef struct bind_settings {
    bool dry;                  /* check a script: collect mistakes, solve nothing, print nothing */
    bool dry_values_used;      /* a placeholder was handed out in place of a reading */
    bool sandboxed;            /* files only below out_folder; false in a plain lua5.4 */
    double mesh_error;         /* worst of the reading under way, of its largest value; negative: none */
    double mesh_accuracy;      /* what was asked for */
    int out_folder;            /* an open folder, -1 when there is none */
    bool show_progress;        /* a line on standard error that is written over */
    const char *format;        /* "text", "csv", "markdown" or "json": how tables print */
    size_t memory_limit_bytes; /* for one solution; 0: no limit */
    /* False stops the engine at its next question; NULL always goes on. */
    bool (*go_on)(void);
    /* Told when the engine ran into its memory limit; may be NULL. */
    void (*limit_reached)(const char *which);
} bind_settings;

/* Those of the state, made with defaults at the first call; they live as long as the state. */
bind_settings *bind_settings_of(lua_State *L);

#endif
