/* journal.h - a file that grows by whole lines and survives whatever ends its writer.
 *
 * Each line goes out in one write and carries a checksum, so that a torn last line is known and dropped. One process at a
 * time may hold a journal.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BIND_JOURNAL_H
#define LL_BIND_JOURNAL_H

#include <lua.h>

/* Adds to the core: core.journal(name, word) opens or makes one in the folder of results and locks it; a file that does not begin
 * with the word is somebody else's and refused. Its methods are lines() (the sound lines; a torn end is cut off), add(line),
 * sync(at_once), which waits for the disk as add does about every second, restart(), set_aside(name), which keeps what it held under
 * the name that it returns, and close(); core.journal_lines(name), the sound lines of one that is only read, or nil when there is none; core.hash(text, before), 16 digits, going on from those of an earlier text. */
void bind_open_journal(lua_State *L);

#endif
