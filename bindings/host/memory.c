/* memory.c - one account of Lua's memory for all processes of a run. It lies in memory that they share; each puts larger amounts on
 * it than it needs at once, so that they seldom meet there.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "limits.h"
#include "module/base/settings.h"
#include <stdatomic.h>
#include <stdlib.h>
#include <sys/mman.h>

static const size_t quantum_bytes = (size_t)1 << 16;

struct host_account {
    atomic_size_t total;
    atomic_size_t of
        [1 +
         BIND_MOST_WORKERS]; /* by place, so that it can be given back for a process that is gone */
};

bool host_memory_open(host_memory *memory, size_t limit_bytes)
{
    void *shared =
        mmap(NULL, sizeof(host_account), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    *memory = (host_memory){.limit = limit_bytes, .account = shared == MAP_FAILED ? NULL : shared};
    return memory->account != NULL;
}

void host_memory_close(host_memory *memory)
{
    if (memory->account)
        munmap(memory->account, sizeof *memory->account);
    memory->account = NULL;
}

void host_memory_fork(host_memory *memory, size_t worker)
{
    memory->place = 1 + worker;
    memory->inherited = memory->used;
    memory->reserved = 0;
}

void host_memory_give_back(host_memory *memory, size_t worker)
{
    host_account *a = memory->account;
    atomic_fetch_sub(&a->total, atomic_exchange(&a->of[1 + worker], 0));
}

size_t host_memory_left(const host_memory *memory)
{
    const size_t total = atomic_load(&memory->account->total);
    return total < memory->limit ? memory->limit - total : 1;
}

static void put_on_account(host_memory *memory, size_t reserved)
{
    atomic_store(&memory->account->of[memory->place], reserved);
    memory->reserved = reserved;
}

/* Makes the account hold what the process will have in use; false when that is beyond the limit. */
static bool reserve(host_memory *memory, size_t used)
{
    const size_t own = used > memory->inherited ? used - memory->inherited : 0;
    const size_t wanted = (own + quantum_bytes - 1) / quantum_bytes * quantum_bytes;
    if (wanted <= memory->reserved) {
        if (memory->reserved - wanted > 16 * quantum_bytes) {
            atomic_fetch_sub(&memory->account->total, memory->reserved - wanted);
            put_on_account(memory, wanted);
        }
        return true;
    }
    const size_t more = wanted - memory->reserved;
    if (atomic_fetch_add(&memory->account->total, more) + more > memory->limit + quantum_bytes) {
        atomic_fetch_sub(&memory->account->total, more);
        return false;
    }
    put_on_account(memory, wanted);
    return true;
}

void *host_allocate(void *ud, void *block, size_t old_size, size_t new_size)
{
    host_memory *memory = ud;
    if (!block)
        old_size = 0; /* then it says what is being made */
    if (new_size == 0) {
        free(block);
        memory->used -= old_size;
        reserve(memory, memory->used);
        return NULL;
    }
    const size_t used = memory->used - old_size + new_size;
    if (new_size > old_size && (used > memory->limit || !reserve(memory, used)))
        return NULL;
    void *moved = realloc(block, new_size);
    if (moved)
        memory->used = used;
    return moved;
}
