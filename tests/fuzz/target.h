/* target.h - what the fuzz targets share: a sandbox that is kept from input to input, since to make one takes longer than most
 * inputs do, and a folder of files in memory where there is one.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_FUZZ_TARGET_H
#define LL_FUZZ_TARGET_H

#include "sandbox.h"
#include <stddef.h>
#include <stdint.h>

/* libFuzzer's own entries, of which each target defines the second. */
int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* The folder that is given to scripts as that of --out; of this process alone. */
const char *fuzz_folder(void);

/* A sandbox, in a check or not, its stack empty and nothing tripped; another one every so many inputs, so that what inputs leave
 * behind does not pile up. Scripts end after a fixed number of instructions. */
host_sandbox *fuzz_sandbox(bool check_mode);

/* A fresh environment in it, as a new run of the program would have; patterns are taken away, since they may take for ever,
 * which in the program ends the process and here would be a find of no use. */
void fuzz_fresh_environment(host_sandbox *sandbox);

/* Calls the embedded chunk of that name with the bytes, the module and its core; what it raises is its own business, unless it
 * begins with "FOUND", which ends the process. */
void fuzz_call_chunk(host_sandbox *sandbox, const char *name, const uint8_t *data, size_t size);

/* Mistakes of this input shall not be told again under the next. */
void fuzz_forget_mistakes(host_sandbox *sandbox);

/* Ends the process as libFuzzer wants it: a property does not hold. */
_Noreturn void fuzz_found(const char *what);

#endif
