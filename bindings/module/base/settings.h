/* settings.h - what the program that carries the module allows and wants.
 * One for each Lua state. A plain `lua5.4` keeps the defaults; the host program sets its own before a script
 * starts.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_SETTINGS_H
#define LL_BIND_SETTINGS_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { BIND_MOST_WORKERS = 256 };

typedef struct bind_settings {
    bool check_mode;        /* check a script: collect mistakes, solve nothing, print nothing */
    bool placeholders_used; /* a placeholder was handed out in place of a reading */
    bool sandboxed;         /* files only below out_folder; false in a plain lua5.4 */
    int out_folder;         /* an open folder, -1 when there is none */
    int in_folder;          /* the same for what is read */
    bool reads_for_script;  /* the module's own Lua reads what a script has written */
    bool show_progress;     /* a line on standard error that is written over */
    bool quiet;             /* no remarks either */
    bool print_aside; /* in a process of a pool: what a script prints goes to standard error */
    bool
        pool_worked; /* other processes ran parts of the script: what they looked at is not known here */
    bool sealed;      /* build and read of a sweep with a file: what is loaded now is in no hash */
    bool sweeping;    /* a sweep has its own line, which says more than a reading's */
    size_t processes; /* that a sweep with a file is shared out among; 0: it stays in this one */
    int part, parts;  /* the share of a sweep that is wanted, 1 to parts; 0: all of it */
    uint64_t script_hash;      /* of the script and all that it requires; 0: not known */
    uint64_t given_hash;       /* of the values from the command line, sorted */
    const char *format;        /* "text", "csv", "markdown" or "json": how tables print */
    size_t memory_limit_bytes; /* for the whole run; 0: no limit */
    size_t base_bytes;         /* what the program takes by itself, before any script */
    /* False stops the engine at its next question; NULL always goes on. */
    bool (*go_on)(void);
    /* Told when the engine ran into its memory limit; may be NULL. */
    void (*limit_reached)(const char *which);
    /* Given finished rows of a sweep, to be shown should the script be ended; NULL text forgets them. May be NULL. */
    void (*keep)(const char *text, size_t size);
    /* Told in a check that a file would be written though there is no folder, with the method's name. May be NULL. */
    void (*writes_nowhere)(lua_State *L, const char *verb);
    /* Called once in each process of a pool. May be NULL. */
    void (*become_worker)(lua_State *L, size_t place);
    /* Called when the process of that place is gone. May be NULL. */
    void (*worker_gone)(lua_State *L, size_t place);
    /* How much of the memory limit is left for a solution; NULL: all of it. */
    size_t (*memory_left)(lua_State *L);
} bind_settings;

/* Those of the state, made with defaults at the first call; they live as long as the state. */
bind_settings *bind_settings_of(lua_State *L);

/* Memory of which each Lua state has one piece for this address: a copy of `initial` when first asked for. Raises when memory is
 * short. */
void *bind_state_box(lua_State *L, const void *key, size_t size, const void *initial);

#endif
