/* recording.c - ll.recording{...}: a sound file that was recorded at the bench.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "module/base/chunks.h"
#include "module/base/fault.h"
#include "module/base/input.h"
#include "module/base/settings.h"
#include "module/recorded/recorded.h"

enum { MOST_BYTES = 256000000 };

static const bind_field recording_table[] = {
    {"file", FIELD_TEXT, offsetof(bind_recording, file),
     .meaning = "WAV or FLAC file in the folder of --in, such as \"coil.wav\"", .required = true},
    {"name", FIELD_TEXT, offsetof(bind_recording, name),
     .meaning = "as tables and messages call it; the file's name when left out"},
};

static int make_recording(lua_State *L);

const bind_noun bind_noun_recording = {.name = "recording",
                                       .article = "a recording",
                                       .type = "lodeloom.recording",
                                       .size = sizeof(bind_recording),
                                       BIND_NOUN_FIELDS(recording_table),
                                       .make = make_recording};

/* What is wrong with a file, and the cure. */
static void refuse(lua_State *L, const char *place, ll_status status)
{
    static const char again[] = "save it anew from the recorder as WAV or FLAC";
    if (status == LL_NOT_SOUND)
        bind_raise(L,
                   "%s: this is no sound file with 1 to %d channels and a rate of 8 to 768 kHz, or "
                   "it is damaged; %s",
                   place, LL_RECORDING_MOST_CHANNELS, again);
    if (status == LL_CUT_OFF)
        bind_raise(
            L, "%s: the file is cut off: its header says more than there is; copy it again, or %s",
            place, again);
    if (status == LL_BAD_VALUE)
        bind_raise(L, "%s: it holds samples that are no numbers; %s", place, again);
    if (status == LL_TOO_LONG)
        bind_raise(L,
                   "%s: it has more than %d million samples over all channels; cut out what is "
                   "needed",
                   place, LL_RECORDING_MOST_SAMPLES / 1000000);
    bind_demand(L, status, place);
}

/* ll.recording{ file = "coil.wav" } */
static int make_recording(lua_State *L)
{
    size_t size = 0;
    lua_settop(L, 1);
    bind_recording *r = bind_object_make(L, &bind_noun_recording, "recording");
    const int box = lua_gettop(L);
    if (r->head.wrong || bind_reads_nowhere(L))
        return 1;
    const char *place = lua_pushfstring(L, "recording %s", bind_quoted(L, r->file));
    const char *bytes = bind_read_input(L, "recording", r->file, MOST_BYTES, &size);
    if (!bind_check_of(L)->on)
        refuse(L, place, ll_recording_decode((const unsigned char *)bytes, size, &r->recording));
    lua_settop(L, box);
    return 1;
}

static void clear_recording(bind_recording *r)
{
    ll_recording_free(r->recording);
    r->recording = NULL;
}

static int collect(lua_State *L)
{
    clear_recording(lua_touserdata(L, 1));
    return 0;
}

void bind_open_recording(lua_State *L)
{
    static const luaL_Reg methods[] = {{NULL, NULL}};
    static const luaL_Reg functions[] = {{"recording", make_recording}, {NULL, NULL}};
    bind_object_register(L, &bind_noun_recording, methods, collect);
    luaL_setfuncs(L, functions, 0);
    bind_offer_fields(L, &bind_noun_recording);
}
