/* voice_motion.h - a voice's string in motion: tuned, pulled at by the magnets, plucked. Private to this folder.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_VOICE_MOTION_H
#define LL_SIGNAL_VOICE_MOTION_H

#include "signal/voice.h"

/* Without a solution no magnet pulls. The caller frees *motion and, where it is asked for, *pairs[*partials]; both may be NULL. Statuses of ll_voice_new. */
ll_status ll_voice_motion(const ll_solution *s, const ll_voice_spec *spec, size_t *partials,
                          ll_mode_pair **pairs, ll_motion **motion);

#endif
