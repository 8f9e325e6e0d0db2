/* start.c - `lodeloom start`: a script of one's own from a template.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"
#include "limits.h"
#include "piped.h"
#include "source.h"
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PATH_ROOM = 4096, NAME_ROOM = 300, LINE_ROOM = 256 };

/* The first line of a template says for which pickups it is. */
static void print_kind(const char *folder, const char *file)
{
    char path[PATH_ROOM + NAME_ROOM], line[LINE_ROOM] = "";
    snprintf(path, sizeof path, "%s/%s", folder, file);
    FILE *in = fopen(path, "r");
    if (!in)
        return;
    if (fgets(line, sizeof line, in))
        printf("  %-18.*s %s", (int)(strlen(file) - 4), file,
               line + (strncmp(line, "-- ", 3) ? 0 : 3));
    fclose(in);
}

static int list_kinds(const char *folder)
{
    struct dirent **list;
    const int count = scandir(folder, &list, host_is_script, alphasort);
    if (count < 0) {
        fprintf(stderr, "lodeloom: %s: %s; the templates are installed with the program\n", folder,
                strerror(errno));
        return HOST_WRONG;
    }
    puts("`lodeloom start KIND [FILE]` writes a script to be filled in with a caliper; the kinds "
         "are");
    for (int i = 0; i < count; i++) {
        print_kind(folder, list[i]->d_name);
        free(list[i]);
    }
    free(list);
    return HOST_FINE;
}

static char *text_of(const char *path, size_t *size)
{
    enum { LARGEST = 1 << 16 };
    FILE *in = fopen(path, "r");
    char *text = in ? malloc(LARGEST) : NULL;
    *size = text ? fread(text, 1, LARGEST, in) : 0;
    if (in)
        fclose(in);
    return text;
}

/* Nothing that is there is overwritten. */
static int write_new(const char *file, const char *text, size_t size)
{
    const int out = open(file, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
    if (out < 0 && errno == EEXIST) {
        fprintf(stderr, "lodeloom: '%s' is there already and stays as it is; name another file\n",
                file);
        return HOST_WRONG;
    }
    const bool written = out >= 0 && write(out, text, size) == (ssize_t)size && fsync(out) == 0;
    const int wrong = errno;
    if (out >= 0 && close(out) == 0 && written)
        return HOST_FINE;
    fprintf(
        stderr,
        "lodeloom: '%s' cannot be written: %s; choose a folder that exists and may be written to\n",
        file, strerror(wrong));
    if (out >= 0)
        unlink(file);
    return HOST_WRONG;
}

/* Into a new file, or to standard output, of which main tells when it cannot be written. */
static int hand_over(const char *file, const char *text, size_t size)
{
    if (strcmp(file, HOST_DASH) == 0) {
        fwrite(text, 1, size, stdout);
        return HOST_FINE;
    }
    const int status = write_new(file, text, size);
    if (status == HOST_FINE)
        printf("%s is written: fill in what the caliper says, then `lodeloom run %s --out .`\n",
               file, file);
    return status;
}

int host_start(const host_options *options)
{
    char folder[PATH_ROOM], path[PATH_ROOM + NAME_ROOM], own[NAME_ROOM];
    snprintf(folder, sizeof folder, "%s/start", host_scripts_folder());
    if (options->word_count == 0)
        return list_kinds(folder);
    const char *kind = options->words[0];
    size_t size = 0;
    char *text = NULL;
    if (!strchr(kind, '/') && strlen(kind) < NAME_ROOM / 2) {
        snprintf(path, sizeof path, "%s/%s.lua", folder, kind);
        text = text_of(path, &size);
    }
    if (!text) {
        fprintf(stderr, "lodeloom: there is no kind '%s'; `lodeloom start` lists them\n", kind);
        return HOST_USAGE;
    }
    snprintf(own, sizeof own, "%s.lua", kind);
    const char *file = options->word_count > 1 ? options->words[1] : own;
    const int status = hand_over(file, text, size);
    free(text);
    return status;
}
