/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "watch.h"
#include "limits.h"
#include "source.h"
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { PATH_ROOM = 4096, MILLISECONDS = 200 };

/* Changes when a file is saved, made or taken away: FNV-1a over what the folder says of its scripts, whose order does not count. */
static uint64_t one_mark(const char *name, const struct stat *about)
{
    const int64_t said[] = {about->st_mtim.tv_sec, about->st_mtim.tv_nsec, about->st_size,
                            (int64_t)about->st_ino};
    uint64_t mark = 14695981039346656037u;
    for (const char *c = name; *c; c++)
        mark = (mark ^ (unsigned char)*c) * 1099511628211u;
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        mark = (mark ^ (uint64_t)said[i]) * 1099511628211u;
    return mark;
}

/* False when the folder is not there. */
static bool mark_of(const char *folder, uint64_t *mark)
{
    DIR *open_folder = opendir(folder);
    if (!open_folder)
        return false;
    *mark = 0;
    for (const struct dirent *entry; (entry = readdir(open_folder));) {
        struct stat about;
        if (host_is_script(entry) && fstatat(dirfd(open_folder), entry->d_name, &about, 0) == 0)
            *mark += one_mark(entry->d_name, &about);
    }
    closedir(open_folder);
    return true;
}

static void folder_of(const char *path, char *folder)
{
    const char *slash = strrchr(path, '/');
    const int length = slash ? (int)(slash - path) : 1;
    snprintf(folder, PATH_ROOM, "%.*s", length ? length : 1, slash ? path : ".");
}

/* An own process, so that nothing of one run is left in the next. */
static int run_apart(const host_options *options, int (*run)(const host_options *options))
{
    fflush(stdout);
    const pid_t child = fork();
    if (child < 0) {
        fprintf(stderr, "lodeloom: no process can be started: %s\n", strerror(errno));
        return HOST_WRONG;
    }
    if (child == 0) {
        const int status = run(options);
        _exit(fflush(stdout) == 0 ? status : HOST_WRONG);
    }
    int how;
    while (waitpid(child, &how, 0) < 0 && errno == EINTR)
        continue;
    return WIFEXITED(how) ? WEXITSTATUS(how) : HOST_WRONG;
}

static void say_again(const host_options *options)
{
    const time_t now = time(NULL);
    struct tm local;
    char at[16];
    if (!options->quiet && localtime_r(&now, &local) && strftime(at, sizeof at, "%H:%M:%S", &local))
        fprintf(stderr, "\n---- %s: saved, run again ----\n", at);
}

int host_watch(const host_options *options, const char *path,
               int (*run)(const host_options *options))
{
    const struct timespec pause = {.tv_nsec = MILLISECONDS * 1000000L};
    char folder[PATH_ROOM];
    uint64_t seen, now;
    folder_of(path, folder);
    if (!mark_of(folder, &seen))
        return HOST_WRONG;
    int status = run_apart(options, run);
    if (!options->quiet)
        fputs("\nlodeloom: watching; save the script to run it again, Ctrl-C ends\n", stderr);
    while (mark_of(folder, &now)) {
        if (now != seen) {
            nanosleep(&pause, NULL); /* editors save in several steps */
            if (!mark_of(folder, &seen))
                break;
            say_again(options);
            status = run_apart(options, run);
        }
        nanosleep(&pause, NULL);
    }
    return status;
}
