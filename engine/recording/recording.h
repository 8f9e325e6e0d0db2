/* recording.h - a sound file as samples: what a bench recorded with a sound card.
 *
 * Samples are fractions of full scale, -1 to 1; a float file may hold more. SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_RECORDING_RECORDING_H
#define LL_RECORDING_RECORDING_H

#include "base/api.h"
#include "base/status.h"
#include <stddef.h>

LL_API_BEGIN

enum { LL_RECORDING_MOST_CHANNELS = 8, LL_RECORDING_MOST_SAMPLES = 60000000 };

/* Never changes once made. */
typedef struct ll_recording ll_recording;

/* From the bytes of a WAV, FLAC or other file that libsndfile reads. Memory is taken for frames as they come, never for what a header
 * claims; LL_CUT_OFF where it claims more than there is, or a chunk of a WAV file reaches beyond the file's end. LL_NOT_SOUND for bytes that hold no sound, no frames, more than LL_RECORDING_MOST_CHANNELS channels
 * or a rate outside 8 to 768 kHz; LL_BAD_VALUE for a sample that is not a finite number; LL_TOO_LONG beyond
 * LL_RECORDING_MOST_SAMPLES over all channels; LL_NO_SOUND without libsndfile; LL_NO_MEMORY. */
ll_status ll_recording_decode(const unsigned char *bytes, size_t size, ll_recording **out);

/* From samples[channels][frames]; the same statuses. */
ll_status ll_recording_new(int channels, size_t frames, double rate_hz, const double *samples,
                           ll_recording **out);
void ll_recording_free(ll_recording *recording);

int ll_recording_channels(const ll_recording *recording);
size_t ll_recording_frames(const ll_recording *recording);
double ll_recording_rate_hz(const ll_recording *recording);

/* Copies `count` frames of a channel (0 is the first, in most files the left) from frame `from` on into out; frames before the
 * start and past the end are silence. */
void ll_recording_copy(const ll_recording *recording, int channel, long from, size_t count,
                       double *out);

/* What a recorder's meter would have said of one channel. */
typedef struct ll_recording_level {
    double peak, rms;
    size_t
        clipped; /* samples that stand, three or more in a row and alike, within 0.1 % of the peak near full scale */
} ll_recording_level;
ll_recording_level ll_recording_level_of(const ll_recording *recording, int channel);

LL_API_END

#endif
