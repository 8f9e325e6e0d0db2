/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "process.h"
#include <errno.h>
#include <fcntl.h>
#include <omp.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

/* A thread of the engine takes less than a tenth of this stack. */
static const rlim_t stack_bytes = (rlim_t)1 << 20, usual_stack_bytes = (rlim_t)8 << 20;
/* OpenBLAS asks for a buffer of 128 MB of addresses, again and again until it gets it; each thread has a stack. */
static const rlim_t free_bytes = (rlim_t)256 << 20, thread_bytes = (rlim_t)10 << 20;

/* What was closed by the caller gets a descriptor that refuses, so that no file of results takes its place. */
static void keep_places(void)
{
    for (int file = 0; file <= 2; file++)
        if (fcntl(file, F_GETFD) < 0 && open("/dev/null", file == 0 ? O_WRONLY : O_RDONLY) < 0)
            _exit(1);
}

/* Sets *raised when the stack was too small and could be made larger. */
static bool has_stack(bool *raised)
{
    struct rlimit stack;
    if (getrlimit(RLIMIT_STACK, &stack) != 0 || stack.rlim_cur >= stack_bytes)
        return true;
    struct rlimit more = stack;
    more.rlim_cur = more.rlim_max < usual_stack_bytes ? more.rlim_max : usual_stack_bytes;
    *raised = more.rlim_cur >= stack_bytes && setrlimit(RLIMIT_STACK, &more) == 0;
    if (!*raised)
        fprintf(stderr,
                "lodeloom: the stack is limited to %lu KB, and %lu KB are needed; `ulimit -s 8192` "
                "allows them\n",
                (unsigned long)(stack.rlim_cur >> 10), (unsigned long)(stack_bytes >> 10));
    return *raised;
}

unsigned long host_process_bytes(void)
{
    unsigned long pages = 0;
    FILE *file = fopen("/proc/self/statm", "r");
    if (!file)
        return 0;
    if (fscanf(file, "%lu", &pages) != 1)
        pages = 0;
    fclose(file);
    return pages * (unsigned long)sysconf(_SC_PAGESIZE);
}

static bool has_addresses(void)
{
    struct rlimit addresses;
    if (getrlimit(RLIMIT_AS, &addresses) != 0 || addresses.rlim_cur == RLIM_INFINITY)
        return true;
    const rlim_t needed =
        host_process_bytes() + free_bytes + thread_bytes * (rlim_t)omp_get_num_procs();
    if (addresses.rlim_cur >= needed)
        return true;
    fprintf(stderr,
            "lodeloom: the memory of the process is limited to %lu KB, and %lu KB are needed; "
            "`ulimit -v unlimited` allows them\n",
            (unsigned long)(addresses.rlim_cur >> 10), (unsigned long)(needed >> 10));
    return false;
}

/* The libraries read stack and policy before main begins, hence the fresh start; it comes back only where that is not
 * possible, and no harm done. */
bool host_process_prepare(char **argv)
{
    bool raised = false;
    keep_places();
    if (!has_stack(&raised) || !has_addresses())
        return false;
    /* Threads that have nothing to do shall sleep: by default those of OpenMP wait in a loop, which on a busy machine takes
     * several times longer than the work. */
    const bool changed = !getenv("OMP_WAIT_POLICY") && setenv("OMP_WAIT_POLICY", "passive", 1) == 0;
    if (changed || raised)
        execv("/proc/self/exe", argv);
    signal(SIGPIPE, SIG_IGN); /* a write that fails is told, whatever it fails of */
    signal(SIGXFSZ, SIG_IGN);
    return true;
}
