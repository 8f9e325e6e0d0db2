/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "signal/sound.h"
#include "signal/spectrum.h"

#include <math.h>

#ifdef LL_HAVE_SNDFILE
#include "signal/sound_memory.h"

#include <stdlib.h>

enum { CHUNK = 4096, MOST_CHANNELS = 8 };

bool ll_sound_available(void)
{
    return true;
}

static ll_status check(const ll_sound_options *o, size_t sections, const ll_sound_section *section)
{
    const bool scale = o->full_scale_v == 0 ? o->peak > 0 && o->peak <= 1
                                            : isfinite(o->full_scale_v) && o->full_scale_v > 0;
    const bool good = scale && o->rate_hz > 0 && o->pause_s >= 0 && o->pause_s <= 3600 &&
                      (o->format == LL_SOUND_FLOAT || o->format == LL_SOUND_PCM_24);
    for (size_t i = 0; i < sections; i++)
        for (size_t k = 0; k < section[i].n; k++)
            if (!isfinite(section[i].voltage_v[k]))
                return LL_BAD_VALUE;
    return good ? LL_OK : LL_BAD_VALUE;
}

static size_t pause_samples(const ll_sound_options *o)
{
    return (size_t)lround(o->pause_s * o->rate_hz);
}

/* A thousandth of what a coil's own resistance hisses (Johnson and Nyquist: 1 uV and more). */
static const double silent_v = 1e-9;

/* Length, scale and peak follow from the sections before anything is written. */
static ll_sound_facts facts_of(const ll_sound_options *o, size_t sections,
                               const ll_sound_section *section)
{
    double highest = 0, samples = sections ? (double)(sections - 1) * (double)pause_samples(o) : 0;
    for (size_t i = 0; i < sections; i++) {
        highest = fmax(highest, ll_peak_level(section[i].n, section[i].voltage_v));
        samples += (double)section[i].n;
    }
    /* Silence has no peak to scale by: it stays silence at any scale. So does what is left where coils cancel. */
    double full_scale = o->full_scale_v;
    if (full_scale == 0)
        full_scale = highest > silent_v ? highest / o->peak : 1;
    return (ll_sound_facts){samples / o->rate_hz, full_scale, highest / full_scale};
}

/* n samples of a section, or of silence when voltage is NULL, the same in every channel. */
static bool write_samples(SNDFILE *file, int channels, size_t n, const double *voltage,
                          double full_scale)
{
    double chunk[CHUNK];
    const size_t room = CHUNK / (size_t)channels;
    for (size_t from = 0; from < n; from += room) {
        const size_t some = n - from < room ? n - from : room;
        for (size_t k = 0; k < some * (size_t)channels; k++)
            chunk[k] = voltage ? voltage[from + k / (size_t)channels] / full_scale : 0;
        if (sf_writef_double(file, chunk, (sf_count_t)some) != (sf_count_t)some)
            return false;
    }
    return true;
}

/* The sections with silence between them, none before the first or after the last. */
static bool write_sections(SNDFILE *file, int channels, const ll_sound_options *o, size_t sections,
                           const ll_sound_section *section, double full_scale)
{
    for (size_t i = 0; i < sections; i++) {
        if (i > 0 && !write_samples(file, channels, pause_samples(o), NULL, full_scale))
            return false;
        if (!write_samples(file, channels, section[i].n, section[i].voltage_v, full_scale))
            return false;
    }
    return true;
}

/* Into an open file, and closes it; NULL when it could not be opened. */
static ll_status fill(SNDFILE *file, int channels, const ll_sound_options *o, size_t sections,
                      const ll_sound_section *section, double full_scale)
{
    if (!file)
        return LL_FILE;
    /* The chunk that holds the peak holds the time of writing too: without it equal sounds make equal files. */
    sf_command(file, SFC_SET_ADD_PEAK_CHUNK, NULL, SF_FALSE);
    const bool written = write_sections(file, channels, o, sections, section, full_scale);
    return sf_close(file) == 0 && written ? LL_OK : LL_FILE;
}

static SF_INFO info_of(int channels, const ll_sound_options *o)
{
    const int subtype = o->format == LL_SOUND_FLOAT ? SF_FORMAT_FLOAT : SF_FORMAT_PCM_24;
    return (SF_INFO){
        .samplerate = o->rate_hz, .channels = channels, .format = SF_FORMAT_WAV | subtype};
}

/* What can be refused before anything is written. */
static ll_status prepare(const ll_sound_options *options, size_t sections,
                         const ll_sound_section *section, ll_sound_facts *found)
{
    const ll_status status = check(options, sections, section);
    if (status)
        return status;
    *found = facts_of(options, sections, section);
    /* The scaling itself may round one bit above 1. */
    return options->format == LL_SOUND_PCM_24 && found->peak > 1 + 1e-12 ? LL_CLIPS : LL_OK;
}

ll_status ll_sound_write(const char *path, const ll_sound_options *options, size_t sections,
                         const ll_sound_section *section, ll_sound_facts *facts)
{
    ll_sound_facts found;
    ll_status status = prepare(options, sections, section, &found);
    if (status)
        return status;
    SF_INFO info = info_of(1, options);
    status =
        fill(sf_open(path, SFM_WRITE, &info), 1, options, sections, section, found.full_scale_v);
    if (!status && facts)
        *facts = found;
    return status;
}

ll_status ll_sound_encode_channels(int channels, const ll_sound_options *options, size_t sections,
                                   const ll_sound_section *section, unsigned char **bytes,
                                   size_t *size, ll_sound_facts *facts)
{
    ll_sound_facts found;
    ll_sound_memory memory = {.bytes = NULL};
    ll_status status = channels >= 1 && channels <= MOST_CHANNELS
                           ? prepare(options, sections, section, &found)
                           : LL_BAD_VALUE;
    if (status)
        return status;
    SF_INFO info = info_of(channels, options);
    status = fill(ll_sound_memory_open(&memory, &info), channels, options, sections, section,
                  found.full_scale_v);
    if (status) {
        free(memory.bytes);
        return memory.refused ? LL_NO_MEMORY : status;
    }
    *bytes = memory.bytes;
    *size = memory.size;
    if (facts)
        *facts = found;
    return LL_OK;
}

#else

bool ll_sound_available(void)
{
    return false;
}

ll_status ll_sound_write(const char *path, const ll_sound_options *options, size_t sections,
                         const ll_sound_section *section, ll_sound_facts *facts)
{
    (void)path;
    (void)options;
    (void)sections;
    (void)section;
    (void)facts;
    return LL_NO_SOUND;
}

ll_status ll_sound_encode_channels(int channels, const ll_sound_options *options, size_t sections,
                                   const ll_sound_section *section, unsigned char **bytes,
                                   size_t *size, ll_sound_facts *facts)
{
    (void)channels;
    (void)bytes;
    (void)size;
    return ll_sound_write(NULL, options, sections, section, facts);
}

#endif

ll_status ll_sound_encode(const ll_sound_options *options, size_t sections,
                          const ll_sound_section *section, unsigned char **bytes, size_t *size,
                          ll_sound_facts *facts)
{
    return ll_sound_encode_channels(1, options, sections, section, bytes, size, facts);
}
