/* fuzz_recording.c - the bytes of a sound file, whatever they hold: what is read of it is what its header cannot belie.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/plucks.h"
#include "recording/recording.h"
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void found(const char *what)
{
    fprintf(stderr, "FOUND: %s\n", what);
    abort();
}

static void listen(const ll_recording *recording, int channel)
{
    enum { MOST = 4, SOME = 64 };
    ll_pluck_found pluck[MOST];
    ll_quiet quiet;
    double samples[SOME];
    size_t count = 0;
    const ll_recording_level level = ll_recording_level_of(recording, channel);
    if (!(level.peak >= 0) || !(level.rms <= level.peak * (1 + 1e-9)) || !isfinite(level.peak))
        found("a level that is none");
    ll_recording_copy(recording, channel, -SOME / 2, SOME, samples);
    for (int i = 0; i < SOME / 2; i++)
        if (samples[i] != 0)
            found("a sound before the start");
    if (ll_plucks_find(recording, channel, MOST, pluck, &count, &quiet) == LL_OK && count > MOST)
        found("more plucks than there is room for");
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    ll_recording *recording = NULL;
    if (ll_recording_decode(data, size, &recording) != LL_OK)
        return 0;
    const int channels = ll_recording_channels(recording);
    if (channels < 1 || channels > LL_RECORDING_MOST_CHANNELS ||
        ll_recording_frames(recording) * (size_t)channels > LL_RECORDING_MOST_SAMPLES)
        found("a recording of another size than is allowed");
    for (int channel = 0; channel < channels; channel++)
        listen(recording, channel);
    ll_recording_free(recording);
    return 0;
}
