/* wall.h - what the system itself refuses to the process from then on, for the case that a script finds a hole in the interpreter.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_WALL_H
#define LL_HOST_WALL_H

#include <stdbool.h>

/* With Landlock, files can be written, made and removed beneath the open folder alone (-1: nowhere), and none can be executed.
 * A kernel without it leaves that to the sandbox; then false. For the thread that calls and all that it starts. */
bool host_wall_files(int folder);

/* With seccomp, no program can be started, no socket opened and no other process looked into. False where the kernel or the
 * processor has no such filter. For all threads. */
bool host_wall_calls(void);

#endif
