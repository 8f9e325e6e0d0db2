/* recorded.h - recordings made with a sound card: the noun, what is asked of it, and the test signal that was played.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_RECORDED_H
#define LL_BIND_RECORDED_H

#include "module/base/object.h"
#include "recording/recording.h"

typedef struct bind_recording {
    bind_object head;
    const char *file, *name;
    ll_recording *recording; /* owned; NULL in a wrong one */
} bind_recording;
extern const bind_noun bind_noun_recording;

/* Options of what is asked of recordings; ends with a NULL name. */
extern const bind_noun bind_recorded_nouns[];

/* Adds ll.recording, ll.test_signal and ll.draw_wiring. */
void bind_open_recording(lua_State *L);
void bind_open_test_signal(lua_State *L);
void bind_open_wiring(lua_State *L);

/* What the module's own Lua asks of a recording and of impedances. */
void bind_open_recorded_core(lua_State *L);

#endif
