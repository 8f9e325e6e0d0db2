/* file_fault.h - why a file or a folder could not be had, in words, with the cure.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_FILE_FAULT_H
#define LL_BIND_FILE_FAULT_H

/* The words for a value of errno; the system's own for one that nobody meets. */
const char *bind_file_fault(int error);

#endif
