/* wall.c - Landlock and seccomp by their system calls, since the C library has none of Landlock's. See landlock(7), seccomp(2).
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "wall.h"
#include <stdint.h>

#ifdef __linux__
#include <stddef.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <unistd.h>
#endif

#if defined(__linux__) && defined(__NR_landlock_create_ruleset)
#include <linux/landlock.h>

/* Those of the first version of Landlock; later ones add to them. */
static const uint64_t in_folder =
    LANDLOCK_ACCESS_FS_WRITE_FILE | LANDLOCK_ACCESS_FS_REMOVE_FILE | LANDLOCK_ACCESS_FS_MAKE_REG;
static const uint64_t nowhere = LANDLOCK_ACCESS_FS_EXECUTE | LANDLOCK_ACCESS_FS_REMOVE_DIR |
                                LANDLOCK_ACCESS_FS_MAKE_CHAR | LANDLOCK_ACCESS_FS_MAKE_DIR |
                                LANDLOCK_ACCESS_FS_MAKE_SOCK | LANDLOCK_ACCESS_FS_MAKE_FIFO |
                                LANDLOCK_ACCESS_FS_MAKE_BLOCK | LANDLOCK_ACCESS_FS_MAKE_SYM;
/* Emptying a file, since version 3; the headers may be older than the kernel. */
static const uint64_t truncation = (uint64_t)1 << 14;

bool host_wall_files(int folder)
{
    const long version =
        syscall(__NR_landlock_create_ruleset, NULL, 0, LANDLOCK_CREATE_RULESET_VERSION);
    if (version < 1)
        return false;
    const uint64_t allowed = in_folder | (version >= 3 ? truncation : 0);
    const struct landlock_ruleset_attr all = {.handled_access_fs = allowed | nowhere};
    const long rules = syscall(__NR_landlock_create_ruleset, &all, sizeof all.handled_access_fs, 0);
    if (rules < 0)
        return false;
    const struct landlock_path_beneath_attr beneath = {.allowed_access = allowed,
                                                       .parent_fd = folder};
    bool fine = folder < 0 || syscall(__NR_landlock_add_rule, (int)rules,
                                      LANDLOCK_RULE_PATH_BENEATH, &beneath, 0) == 0;
    fine = fine && prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 &&
           syscall(__NR_landlock_restrict_self, (int)rules, 0) == 0;
    close((int)rules);
    return fine;
}

#else

bool host_wall_files(int folder)
{
    (void)folder;
    return false;
}

#endif

#if defined(__linux__) && (defined(__x86_64__) || defined(__aarch64__))
#include <errno.h>
#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>

#ifdef __x86_64__
#define LL_ARCHITECTURE AUDIT_ARCH_X86_64
#else
#define LL_ARCHITECTURE AUDIT_ARCH_AARCH64
#endif

/* By the name of the call; those above the numbers of x86-64 are of another way to call (x32) and refused, too. */
enum { OTHER_WAY = 0x40000000 };
#define LL_REFUSE_CALL(name)                                                                       \
    BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, __NR_##name, 0, 1),                                        \
        BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ERRNO | EPERM)

static struct sock_filter filter[] = {
    BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(struct seccomp_data, arch)),
    BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, LL_ARCHITECTURE, 1, 0),
    BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ERRNO | EPERM),
    BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(struct seccomp_data, nr)),
    BPF_JUMP(BPF_JMP | BPF_JGE | BPF_K, OTHER_WAY, 0, 1),
    BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ERRNO | EPERM),
    LL_REFUSE_CALL(execve),
    LL_REFUSE_CALL(execveat),
    LL_REFUSE_CALL(socket),
    LL_REFUSE_CALL(socketpair),
    LL_REFUSE_CALL(connect),
    LL_REFUSE_CALL(bind),
    LL_REFUSE_CALL(ptrace),
    LL_REFUSE_CALL(process_vm_readv),
    LL_REFUSE_CALL(process_vm_writev),
    LL_REFUSE_CALL(pidfd_getfd),
    LL_REFUSE_CALL(io_uring_setup),
    LL_REFUSE_CALL(bpf),
    LL_REFUSE_CALL(perf_event_open),
    LL_REFUSE_CALL(userfaultfd),
    LL_REFUSE_CALL(keyctl),
    LL_REFUSE_CALL(add_key),
    LL_REFUSE_CALL(request_key),
    LL_REFUSE_CALL(unshare),
    LL_REFUSE_CALL(setns),
    LL_REFUSE_CALL(mount),
    LL_REFUSE_CALL(umount2),
    LL_REFUSE_CALL(pivot_root),
    LL_REFUSE_CALL(chroot),
    LL_REFUSE_CALL(open_by_handle_at),
    LL_REFUSE_CALL(init_module),
    LL_REFUSE_CALL(finit_module),
    LL_REFUSE_CALL(kexec_load),
    LL_REFUSE_CALL(reboot),
    BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW),
};

bool host_wall_calls(void)
{
    const struct sock_fprog program = {.len = sizeof filter / sizeof *filter, .filter = filter};
    return prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 &&
           syscall(__NR_seccomp, SECCOMP_SET_MODE_FILTER, SECCOMP_FILTER_FLAG_TSYNC, &program) == 0;
}

#else

bool host_wall_calls(void)
{
    return false;
}

#endif
