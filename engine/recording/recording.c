/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "recording/recording.h"
#include "base/dense.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#ifdef LL_HAVE_SNDFILE
#include "signal/sound_memory.h"
#endif

enum { CHUNK_FRAMES = 4096 };

/* Frame after frame, all channels of a frame together, as files hold them. Single precision keeps the 24 bits that the best
 * converters have. */
struct ll_recording {
    int channels;
    size_t frames;
    double rate_hz;
    float *sample;
};

static bool rate_is_usable(double rate_hz)
{
    return rate_hz >= 8e3 && rate_hz <= 768e3;
}

ll_status ll_recording_new(int channels, size_t frames, double rate_hz, const double *samples,
                           ll_recording **out)
{
    if (channels < 1 || channels > LL_RECORDING_MOST_CHANNELS || frames < 1 ||
        !rate_is_usable(rate_hz))
        return LL_NOT_SOUND;
    if (frames > LL_RECORDING_MOST_SAMPLES / (size_t)channels)
        return LL_TOO_LONG;
    if (!ll_all_finite(frames * (size_t)channels, samples))
        return LL_BAD_VALUE;
    ll_recording *r = malloc(sizeof *r);
    float *sample = malloc(frames * (size_t)channels * sizeof *sample);
    if (!r || !sample) {
        free(r);
        free(sample);
        return LL_NO_MEMORY;
    }
    for (size_t i = 0; i < frames; i++)
        for (int c = 0; c < channels; c++)
            sample[i * (size_t)channels + (size_t)c] = (float)samples[(size_t)c * frames + i];
    *r = (ll_recording){channels, frames, rate_hz, sample};
    *out = r;
    return LL_OK;
}

void ll_recording_free(ll_recording *recording)
{
    if (recording)
        free(recording->sample);
    free(recording);
}

int ll_recording_channels(const ll_recording *recording)
{
    return recording->channels;
}

size_t ll_recording_frames(const ll_recording *recording)
{
    return recording->frames;
}

double ll_recording_rate_hz(const ll_recording *recording)
{
    return recording->rate_hz;
}

static double at(const ll_recording *r, int channel, size_t frame)
{
    return (double)r->sample[frame * (size_t)r->channels + (size_t)channel];
}

void ll_recording_copy(const ll_recording *recording, int channel, long from, size_t count,
                       double *out)
{
    for (size_t i = 0; i < count; i++) {
        const long frame = from + (long)i;
        const bool inside = frame >= 0 && (size_t)frame < recording->frames;
        out[i] = inside ? at(recording, channel, (size_t)frame) : 0;
    }
}

ll_recording_level ll_recording_level_of(const ll_recording *recording, int channel)
{
    ll_recording_level level = {0};
    double squares = 0;
    size_t run = 0;
    for (size_t i = 0; i < recording->frames; i++) {
        const double v = at(recording, channel, i);
        level.peak = fmax(level.peak, fabs(v));
        squares += v * v;
    }
    level.rms = sqrt(squares / (double)recording->frames);
    if (level.peak < 0.9)
        return level;
    for (size_t i = 1; i < recording->frames; i++) {
        const double v = at(recording, channel, i);
        const bool stands = fabs(v) > 0.999 * level.peak && v == at(recording, channel, i - 1);
        run = stands ? run + 1 : 0;
        level.clipped += run == 2 ? 3 : run > 2;
    }
    return level;
}

#ifdef LL_HAVE_SNDFILE

/* Room for more frames, doubled as they come. */
static bool make_room(ll_recording *r, size_t *room)
{
    if (r->frames + CHUNK_FRAMES <= *room)
        return true;
    const size_t wanted = 2 * *room + CHUNK_FRAMES;
    float *sample = realloc(r->sample, wanted * (size_t)r->channels * sizeof *sample);
    if (!sample)
        return false;
    r->sample = sample;
    *room = wanted;
    return true;
}

static bool finite_chunk(const float *sample, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite((double)sample[i]))
            return false;
    return true;
}

static ll_status read_frames(SNDFILE *file, ll_recording *r)
{
    size_t room = 0;
    for (;;) {
        if (!make_room(r, &room))
            return LL_NO_MEMORY;
        float *to = r->sample + r->frames * (size_t)r->channels;
        const sf_count_t some = sf_readf_float(file, to, CHUNK_FRAMES);
        if (some <= 0)
            return r->frames > 0 ? LL_OK : LL_NOT_SOUND;
        if (!finite_chunk(to, (size_t)some * (size_t)r->channels))
            return LL_BAD_VALUE;
        r->frames += (size_t)some;
        if (r->frames > LL_RECORDING_MOST_SAMPLES / (size_t)r->channels)
            return LL_TOO_LONG;
    }
}

static uint32_t little_endian(const unsigned char *at)
{
    return at[0] | (uint32_t)at[1] << 8 | (uint32_t)at[2] << 16 | (uint32_t)at[3] << 24;
}

/* Whether no chunk of a RIFF file reaches beyond its end; libsndfile takes what there is and says nothing. A last chunk may lack the
 * byte that makes its length even. */
static bool is_whole(const unsigned char *bytes, size_t size)
{
    enum { HEAD = 12, CHUNK_HEAD = 8 };
    if (size < HEAD || memcmp(bytes, "RIFF", 4) != 0)
        return true;
    if ((uint64_t)little_endian(bytes + 4) + CHUNK_HEAD > (uint64_t)size + 1)
        return false;
    for (uint64_t at = HEAD; at + CHUNK_HEAD <= size;) {
        const uint64_t length = little_endian(bytes + at + 4);
        if (at + CHUNK_HEAD + length > size)
            return false;
        at += CHUNK_HEAD + length + length % 2;
    }
    return true;
}

static ll_status decode(SNDFILE *file, const SF_INFO *info, ll_recording *r)
{
    if (info->channels < 1 || info->channels > LL_RECORDING_MOST_CHANNELS ||
        !rate_is_usable(info->samplerate))
        return LL_NOT_SOUND;
    r->channels = info->channels;
    r->rate_hz = info->samplerate;
    const ll_status status = read_frames(file, r);
    const bool known = info->frames > 0 && info->frames < SF_COUNT_MAX;
    return !status && known && r->frames < (size_t)info->frames ? LL_CUT_OFF : status;
}

ll_status ll_recording_decode(const unsigned char *bytes, size_t size, ll_recording **out)
{
    SF_INFO info = {0};
    ll_sound_memory memory = {0};
    if (!is_whole(bytes, size))
        return LL_CUT_OFF;
    ll_recording *r = calloc(1, sizeof *r);
    if (!r)
        return LL_NO_MEMORY;
    SNDFILE *file = ll_sound_memory_read(&memory, bytes, size, &info);
    ll_status status = file ? decode(file, &info, r) : LL_NOT_SOUND;
    if (file)
        sf_close(file);
    if (status) {
        ll_recording_free(r);
        return status;
    }
    *out = r;
    return LL_OK;
}

#else

ll_status ll_recording_decode(const unsigned char *bytes, size_t size, ll_recording **out)
{
    (void)bytes;
    (void)size;
    (void)out;
    return LL_NO_SOUND;
}

#endif
