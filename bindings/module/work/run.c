/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/work/run.h"
#include "module/base/chunks.h"
#include "module/base/hash.h"
#include "module/base/output.h"
#include "module/base/settings.h"
#include "version.h"
#include <lauxlib.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

/* "40 s", "12 min", "3.5 h". */
static void time_left(double seconds, char *text, size_t room)
{
    if (seconds < 100)
        snprintf(text, room, "%.0f s", seconds);
    else if (seconds < 6000)
        snprintf(text, room, "%.0f min", seconds / 60);
    else
        snprintf(text, room, "%.1f h", seconds / 3600);
}

static double clock_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

typedef struct sweep {
    double count, began_s, began_at;
} sweep;

/* The sweep under way. */
static sweep *sweep_of(lua_State *L)
{
    static const sweep none = {0};
    return bind_state_box(L, &none, sizeof none, &none);
}

/* core.progress(done, count): a sweep tells how far it is and, from the second call on, how long the rest may take. Asked
 * with the same count as done, it clears the line. */
static int core_progress(lua_State *L)
{
    char rest[32] = "", line[BIND_PROGRESS_WIDTH + 1];
    bind_talk *talk = bind_talk_of(L);
    const double done = luaL_checknumber(L, 1), count = luaL_checknumber(L, 2);
    if (!talk->show_progress)
        return 0;
    sweep *s = sweep_of(L);
    if (!talk->sweeping || s->count != count)
        *s = (sweep){count, clock_s(), done};
    talk->sweeping = done < count;
    const double fresh = done - s->began_at;
    if (fresh > 0)
        time_left((clock_s() - s->began_s) * (count - done) / fresh, rest, sizeof rest);
    /* A line that is too long is cut short, which is all that it needs. */
    if (snprintf(line, sizeof line, "sweep: %.0f of %.0f done%s%s%s", done, count,
                 *rest ? ", about " : "", rest, *rest ? " left" : "") < 0)
        return 0;
    fprintf(stderr, "\r%-*s", BIND_PROGRESS_WIDTH, done < count ? line : "");
    fputs(done < count ? "" : "\r", stderr);
    fflush(stderr);
    return 0;
}

/* core.keep(text): a finished row, shown should the script be ended; nil forgets all. */
static int core_keep(lua_State *L)
{
    size_t size = 0;
    const bind_sweeps *sweeps = bind_sweeps_of(L);
    const bind_check *check = bind_check_of(L);
    const char *text = luaL_optlstring(L, 1, NULL, &size);
    if (sweeps->keep && !check->on)
        sweeps->keep(text, size);
    return 0;
}

/* core.say(text): a remark on standard error, unless the program is to be quiet. */
static int core_say(lua_State *L)
{
    const char *text = luaL_checkstring(L, 1);
    if (!bind_talk_of(L)->quiet)
        fprintf(stderr, "lodeloom: %s\n", text);
    return 0;
}

/* core.seal(sealed): whether the script may load more texts. */
static int core_seal(lua_State *L)
{
    bind_stamp_of(L)->sealed = lua_toboolean(L, 1);
    return 0;
}

/* core.out_of_memory(): a protected call met the end of Lua's memory, which only its message tells. */
static int core_out_of_memory(lua_State *L)
{
    const bind_limits *limits = bind_limits_of(L);
    if (limits->limit_reached)
        limits->limit_reached("memory");
    return 0;
}

/* core.run(): what is known of this run: { hash, part, parts, check_mode, worker }. Without a hash nothing tells whether a script
 * has changed. */
static int core_run(lua_State *L)
{
    char hash[BIND_HASH_TEXT];
    const bind_stamp *stamp = bind_stamp_of(L);
    const bind_sweeps *sweeps = bind_sweeps_of(L);
    const bind_check *check = bind_check_of(L);
    const bind_talk *talk = bind_talk_of(L);
    lua_newtable(L);
    if (stamp->script_hash) {
        bind_hash_text(stamp->given_hash, hash);
        bind_hash_text(bind_hash(stamp->script_hash, hash, strlen(hash)), hash);
        lua_pushstring(L, hash);
        lua_setfield(L, -2, "hash");
    }
    lua_pushinteger(L, sweeps->part);
    lua_setfield(L, -2, "part");
    lua_pushinteger(L, sweeps->parts);
    lua_setfield(L, -2, "parts");
    lua_pushboolean(L, check->on);
    lua_setfield(L, -2, "check_mode");
    lua_pushboolean(L, talk->print_aside);
    lua_setfield(L, -2, "worker");
    lua_pushboolean(L, sweeps->processes > 0);
    lua_setfield(L, -2, "has_pool");
    return 1;
}

/* core.stamp(): what was run, { lodeloom, asked, script, hash, values = { { name, value }, ... } }; of the last three what is known.
 * Asked: for every format. The hash is
 * that of the script and of all that it has required and read by now. */
static int core_stamp(lua_State *L)
{
    char hash[BIND_HASH_TEXT];
    const bind_stamp *stamp = bind_stamp_of(L);
    lua_newtable(L);
    lua_pushliteral(L, LL_VERSION);
    lua_setfield(L, -2, "lodeloom");
    lua_pushboolean(L, bind_talk_of(L)->stamp);
    lua_setfield(L, -2, "asked");
    if (!stamp->script)
        return 1;
    lua_pushstring(L, stamp->script);
    lua_setfield(L, -2, "script");
    bind_hash_text(stamp->script_hash, hash);
    lua_pushstring(L, hash);
    lua_setfield(L, -2, "hash");
    lua_createtable(L, stamp->value_count, 0);
    for (int i = 0; i < stamp->value_count; i++) {
        const char *word = stamp->values[i], *equals = strchr(word, '=');
        lua_createtable(L, 2, 0);
        lua_pushlstring(L, word, (size_t)(equals - word));
        lua_rawseti(L, -2, 1);
        lua_pushstring(L, equals + 1);
        lua_rawseti(L, -2, 2);
        lua_rawseti(L, -2, i + 1);
    }
    lua_setfield(L, -2, "values");
    return 1;
}

void bind_open_run(lua_State *L)
{
    bind_core_function(L, "progress", core_progress);
    bind_core_function(L, "stamp", core_stamp);
    bind_core_function(L, "keep", core_keep);
    bind_core_function(L, "say", core_say);
    bind_core_function(L, "run", core_run);
    bind_core_function(L, "out_of_memory", core_out_of_memory);
    bind_core_function(L, "seal", core_seal);
}
