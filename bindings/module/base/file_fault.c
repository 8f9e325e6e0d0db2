/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/file_fault.h"
#include <errno.h>
#include <stddef.h>
#include <string.h>

static const struct {
    int error;
    const char *words;
} faults[] = {
    {ENOENT, "it is not there; a folder is made first, as with mkdir"},
    {ENOTDIR, "a file stands where a folder is needed; name a folder"},
    {EISDIR, "a folder has that name; take another name, or move the folder away"},
    {EACCES, "that is not allowed; look at its permissions, or take another folder"},
    {EPERM, "that is not allowed; look at its permissions, or take another folder"},
    {EROFS, "its disk can only be read; take a folder on another one"},
    {ELOOP, "links stand in its way, or lead round in a circle; name the file or folder itself"},
    {ENAMETOOLONG, "the name is too long; take a shorter one"},
    {ENOSPC, "the disk is full; make room, or take a folder on another one"},
    {EDQUOT, "your share of the disk is full; make room, or take a folder on another one"},
};

const char *bind_file_fault(int error)
{
    for (size_t i = 0; i < sizeof faults / sizeof *faults; i++)
        if (faults[i].error == error)
            return faults[i].words;
    return strerror(error);
}
