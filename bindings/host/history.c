/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "history.h"

#ifndef LL_HAVE_READLINE

void host_history_read(void)
{
}
void host_history_add(const char *line)
{
    (void)line;
}
void host_history_write(void)
{
}

#else

#include <readline/history.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { ROOM = 4096, KEPT_LINES = 1000 };

/* $XDG_STATE_HOME, else ~/.local/state (XDG base directories 0.8), with the name behind it; false without a home. */
static bool state_path(const char *name, char path[ROOM])
{
    const char *state = getenv("XDG_STATE_HOME"), *home = getenv("HOME");
    int length = -1;
    if (state && *state == '/')
        length = snprintf(path, ROOM, "%s/%s", state, name);
    else if (home && *home == '/')
        length = snprintf(path, ROOM, "%s/.local/state/%s", home, name);
    return length > 0 && length < ROOM;
}

void host_history_read(void)
{
    char path[ROOM];
    if (!isatty(STDIN_FILENO))
        return;
    using_history();
    stifle_history(KEPT_LINES);
    if (state_path("lodeloom/history", path))
        read_history(path); /* the first time there is none */
}

void host_history_add(const char *line)
{
    if (!line || !*line)
        return;
    const HIST_ENTRY *last = history_get(history_base + history_length - 1);
    if (!last || strcmp(last->line, line) != 0)
        add_history(line);
}

/* A history that cannot be kept is no fault. */
void host_history_write(void)
{
    char path[ROOM];
    if (!isatty(STDIN_FILENO) || !state_path("lodeloom", path))
        return;
    for (char *slash = strchr(path + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        mkdir(path, 0700);
        *slash = '/';
    }
    mkdir(path, 0700);
    if (state_path("lodeloom/history", path))
        write_history(path);
}

#endif
