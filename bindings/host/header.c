/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "header.h"
#include "source.h"
#include "version.h"
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { HEADER_BYTES = 600, PATH_ROOM = 4096 };

/* The text of a comment line up to `end` marks, into room bytes; returns the line after it, the same line when it is none. */
static const char *take_comment(const char *text, const char *end, char *out, size_t room)
{
    *out = '\0';
    if (strncmp(text, "--", 2) != 0)
        return text;
    const char *line = text + strspn(text, "- ");
    size_t length = strcspn(line, "\r\n");
    const char *stop = end ? strstr(line, end) : NULL;
    if (stop && stop < line + length)
        length = (size_t)(stop - line);
    snprintf(out, room, "%.*s", (int)length, line);
    text = strchr(text, '\n');
    return text ? text + 1 : line + strlen(line);
}

host_header host_header_of(const char *text)
{
    static const char needs[] = "Needs lodeloom ";
    host_header header = {.question = ""};
    if (*text == '#' && strchr(text, '\n'))
        text = strchr(text, '\n') + 1;
    const char *line = take_comment(text, NULL, header.question, sizeof header.question);
    line = take_comment(line, ".", header.bench, sizeof header.bench);
    const char *found = strstr(text, needs);
    for (char more[2]; strncmp(line, "--", 2) == 0;)
        line = take_comment(line, NULL, more, sizeof more);
    if (found && found < line &&
        sscanf(found + strlen(needs), "%d.%d", &header.major, &header.minor) != 2)
        header.major = header.minor = 0;
    return header;
}

bool host_header_suits(const host_header *header, const char *path)
{
    int major = 0, minor = 0;
    sscanf(LL_VERSION, "%d.%d", &major, &minor);
    if (header->major < major || (header->major == major && header->minor <= minor))
        return true;
    fprintf(stderr, "lodeloom: %s needs lodeloom %d.%d, and this is %s\n", path, header->major,
            header->minor, LL_VERSION);
    return false;
}

static void print_script(const char *folder, const char *name)
{
    char path[PATH_ROOM], text[HEADER_BYTES] = "";
    if (snprintf(path, sizeof path, "%s/%s", folder, name) >= (int)sizeof path)
        return;
    FILE *file = fopen(path, "r");
    if (!file)
        return;
    text[fread(text, 1, sizeof text - 1, file)] = '\0';
    fclose(file);
    const host_header header = host_header_of(text);
    printf("%.*s\n    %s\n    %s, needs lodeloom %d.%d\n", (int)(strrchr(name, '.') - name), name,
           header.question, header.bench, header.major, header.minor);
}

int host_list_scripts(void)
{
    const char *folder = host_scripts_folder();
    struct dirent **entries = NULL;
    int count = *folder ? scandir(folder, &entries, host_is_script, alphasort) : 0;
    for (int i = 0; i < count; i++) {
        print_script(folder, entries[i]->d_name);
        free(entries[i]);
    }
    free(entries);
    if (count <= 0)
        fputs("lodeloom: no scripts are installed\n", stderr);
    return count > 0 ? 0 : 1;
}
