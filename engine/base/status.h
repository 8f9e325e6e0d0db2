/* status.h - the one table of results that engine calls return, and their texts.
 * A call that does not return LL_OK leaves its outputs untouched.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_BASE_STATUS_H
#define LL_BASE_STATUS_H

#include "base/api.h"

LL_API_BEGIN

#define LL_STATUS_TABLE(X)                                                                         \
    X(LL_OK, "done")                                                                               \
    X(LL_NO_MEMORY, "not enough memory")                                                           \
    X(LL_BAD_VALUE, "a value is not a finite number or is out of range")                           \
    X(LL_BAD_SIZE, "a length, diameter or thickness must be greater than zero")                    \
    X(LL_BAD_CURVE, "a curve needs two points or more, rising in both columns")                    \
    X(LL_UNKNOWN_NAME, "no such name in the tables")                                               \
    X(LL_NEEDS_NORTH, "a magnet needs the side that shows its north face")                         \
    X(LL_NO_COEFFICIENT, "no temperature coefficient is known for the magnet's material")          \
    X(LL_OVERLAP, "two parts cut into each other")                                                 \
    X(LL_NO_COIL, "the reading needs a coil and there is none")                                    \
    X(LL_NO_PART, "there is no such part")                                                         \
    X(LL_OUTSIDE_PART, "the plane does not cut the part")                                          \
    X(LL_STRING_IN_PART, "the string passes through a part")                                       \
    X(LL_IN_USE, "a scene that was solved takes no more parts and coils: make another")            \
    X(LL_TOO_BIG, "the mesh would need more memory than allowed")                                  \
    X(LL_NO_CONVERGENCE, "the solver did not converge")                                            \
    X(LL_NOT_SOLVABLE,                                                                             \
      "the circuit has no single solution: a node hangs free, or shorts form a loop")              \
    X(LL_RING_AROUND_COIL,                                                                         \
      "steel closes a ring around part of the winding: leave a gap of 0.05 mm or more in it")      \
    X(LL_OUTSIDE_MAP, "a string moves further than its linkage map covers")                        \
    X(LL_CLIPS, "the sound is louder than the file can hold")                                      \
    X(LL_FILE, "the file cannot be written")                                                       \
    X(LL_NOT_SOUND, "the file holds no sound that can be read")                                    \
    X(LL_CUT_OFF, "the file ends before its header says")                                          \
    X(LL_TOO_LONG, "a recording is longer than can be held")                                       \
    X(LL_NO_SIGNAL, "the test signal was not recorded")                                            \
    X(LL_NO_SOUND, "built without libsndfile: no sound files")                                     \
    X(LL_CANCELLED, "stopped on request")                                                          \
    X(LL_LIBRARY, "a numerical library reported an error")

#define LL_STATUS_CODE(code, text) code,
typedef enum ll_status { LL_STATUS_TABLE(LL_STATUS_CODE) LL_STATUS_COUNT } ll_status;
#undef LL_STATUS_CODE

/* A text in English for any status; never NULL. */
const char *ll_status_text(ll_status status);

LL_API_END

#endif
