/* settings.h - what the program that carries the module allows and wants: a few small structs, each for the part that needs it.
 * One of each for each Lua state. A plain `lua5.4` keeps the defaults; the host program sets its own before a script
 * starts.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_SETTINGS_H
#define LL_BIND_SETTINGS_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { BIND_MOST_WORKERS = 256 };

/* A script is only checked: its mistakes are collected, nothing is solved or printed. */
typedef struct bind_check {
    bool on;
    bool placeholders_used; /* a placeholder was handed out in place of a reading */
    /* Told that a file would be written though there is no folder, with the method's name. May be NULL. */
    void (*writes_nowhere)(lua_State *L, const char *verb);
} bind_check;

/* Where files are. */
typedef struct bind_folders {
    bool boxed; /* files only below these folders; false in a plain lua5.4 */
    int out;    /* an open folder, -1 when there is none */
    int in;     /* the same for what is read */
} bind_folders;

/* What is said, and how. */
typedef struct bind_talk {
    const char *format; /* "text", "csv", "markdown" or "json": how tables print */
    bool stamp;         /* files and tables for machines say what was run, whatever their format */
    bool quiet;         /* neither progress nor remarks */
    bool show_progress; /* a line on standard error that is written over */
    bool sweeping;      /* a sweep has its own line, which says more than a reading's */
    bool print_aside;   /* in a process of a pool: what a script prints goes to standard error */
} bind_talk;

/* What ends a run. */
typedef struct bind_limits {
    size_t memory_bytes; /* for the whole run; 0: no limit */
    size_t base_bytes;   /* what the program takes by itself, before any script */
    /* How much of the memory limit is left for a solution; NULL: all of it. */
    size_t (*memory_left)(lua_State *L);
    /* False stops the engine at its next question; NULL always goes on. */
    bool (*go_on)(void);
    /* Told when the engine ran into its memory limit; may be NULL. */
    void (*limit_reached)(const char *which);
} bind_limits;

/* How sweeps with a file are shared out. */
typedef struct bind_sweeps {
    size_t processes; /* that a sweep is shared out among; 0: it stays in this one */
    int part, parts;  /* the share of a sweep that is wanted, 1 to parts; 0: all of it */
    bool
        pool_worked; /* other processes ran parts of the script: what they looked at is not known here */
    /* Given finished rows, to be shown should the script be ended; NULL text forgets them. May be NULL. */
    void (*keep)(const char *text, size_t size);
    /* Called once in each process of a pool. May be NULL. */
    void (*become_worker)(lua_State *L, size_t place);
    /* Called when the process of that place is gone. May be NULL. */
    void (*worker_gone)(lua_State *L, size_t place);
} bind_sweeps;

/* By what two benches see whether they ran the same. */
typedef struct bind_stamp {
    uint64_t script_hash; /* of the script and all that it requires; 0: not known */
    uint64_t given_hash;  /* of the values from the command line, sorted */
    const char *script;   /* its name without folders; NULL: not known */
    char **values;        /* NAME=VALUE from the command line, sorted */
    int value_count;
    bool sealed; /* build and read of a sweep with a file: what is loaded now is in no hash */
} bind_stamp;

/* Who describes. */
typedef struct bind_reader {
    bool for_script; /* the module's own Lua reads what a script has written */
} bind_reader;

/* Those of the state, made with defaults at the first call; they live as long as the state. */
bind_check *bind_check_of(lua_State *L);
bind_folders *bind_folders_of(lua_State *L);
bind_talk *bind_talk_of(lua_State *L);
bind_limits *bind_limits_of(lua_State *L);
bind_sweeps *bind_sweeps_of(lua_State *L);
bind_stamp *bind_stamp_of(lua_State *L);
bind_reader *bind_reader_of(lua_State *L);

/* Makes all of them: what can fail for want of memory then lies behind. */
void bind_make_settings(lua_State *L);

/* Memory of which each Lua state has one piece for this address: a copy of `initial` when first asked for. Raises when memory is
 * short. */
void *bind_state_box(lua_State *L, const void *key, size_t size, const void *initial);

#endif
