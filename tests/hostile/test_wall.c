/* The system's own refusals, behind the sandbox: what the documentation of Landlock, landlock(7), and of seccomp(2) promises.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "host/wall.h"
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static char elsewhere[40];

/* In a child, since no wall can be taken down: 0 when all is as it should be, else the number of the line. */
static int behind(int (*looks)(int folder), int folder)
{
    int status = 0;
    const pid_t pid = fork();
    if (pid == 0)
        _exit(looks(folder));
    waitpid(pid, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 255;
}

#define HOLDS(condition)                                                                           \
    if (!(condition))                                                                              \
    return __LINE__

enum { NO_WALL = 254 };

static int files(int folder)
{
    const int outside = open(elsewhere, O_WRONLY);
    if (!host_wall_files(folder))
        return NO_WALL;
    HOLDS(openat(folder, "made.part", O_WRONLY | O_CREAT | O_EXCL, 0644) >= 0);
    HOLDS(renameat(folder, "made.part", folder, "made") == 0);
    HOLDS(openat(folder, "made", O_RDWR | O_TRUNC) >= 0 && unlinkat(folder, "made", 0) == 0);
    HOLDS(mkdirat(folder, "inner", 0755) < 0 && errno == EACCES);
    HOLDS(symlinkat("/etc/passwd", folder, "link") < 0 && errno == EACCES);
    HOLDS(open(elsewhere, O_RDONLY) >= 0);
    HOLDS(open(elsewhere, O_WRONLY) < 0 && errno == EACCES);
    HOLDS(unlink(elsewhere) < 0 && errno == EACCES);
    HOLDS(open("/tmp/lodeloom-wall-new", O_WRONLY | O_CREAT, 0644) < 0 && errno == EACCES);
    HOLDS(execl("/bin/true", "true", (char *)NULL) < 0 && errno == EACCES);
    HOLDS(write(outside, "open before", 11) == 11);
    return 0;
}

static int no_files(int folder)
{
    if (!host_wall_files(-1))
        return NO_WALL;
    HOLDS(openat(folder, "made", O_WRONLY | O_CREAT, 0644) < 0 && errno == EACCES);
    HOLDS(open("/dev/null", O_WRONLY) < 0 && errno == EACCES);
    return 0;
}

static int calls(int folder)
{
    (void)folder;
    if (!host_wall_calls())
        return NO_WALL;
    HOLDS(socket(AF_INET, SOCK_STREAM, 0) < 0 && errno == EPERM);
    HOLDS(socket(AF_UNIX, SOCK_STREAM, 0) < 0 && errno == EPERM);
    HOLDS(execl("/bin/true", "true", (char *)NULL) < 0 && errno == EPERM);
    const pid_t pid = fork(); /* a sweep's processes */
    if (pid == 0)
        _exit(socket(AF_INET, SOCK_DGRAM, 0) < 0 ? 7 : 0);
    int status = 0;
    HOLDS(waitpid(pid, &status, 0) == pid && WEXITSTATUS(status) == 7);
    HOLDS(open("/etc/passwd", O_RDONLY) >= 0);
    return 0;
}

/* A folder and a file outside of it, both gone afterwards. */
static void holds(int (*looks)(int folder))
{
    char name[] = "/tmp/lodeloom-folder-XXXXXX";
    strcpy(elsewhere, "/tmp/lodeloom-wall-XXXXXX");
    assert_non_null(mkdtemp(name));
    const int outside = mkstemp(elsewhere), folder = open(name, O_RDONLY | O_DIRECTORY);
    assert_true(outside >= 0 && folder >= 0);
    const int line = behind(looks, folder);
    close(folder);
    close(outside);
    unlink(elsewhere);
    rmdir(name);
    if (line == NO_WALL)
        skip(); /* the kernel has none */
    assert_int_equal(line, 0);
}

static void test_files_are_written_beneath_the_folder_alone(void **state)
{
    (void)state;
    holds(files);
}

static void test_without_a_folder_nothing_is_written(void **state)
{
    (void)state;
    holds(no_files);
}

static void test_no_program_is_started_and_no_socket_opened(void **state)
{
    (void)state;
    holds(calls);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_files_are_written_beneath_the_folder_alone),
        cmocka_unit_test(test_without_a_folder_nothing_is_written),
        cmocka_unit_test(test_no_program_is_started_and_no_socket_opened),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
