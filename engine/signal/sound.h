/* sound.h - sections of signal, written one after another to a WAV file.
 *
 * All sections share one scale, so that before and after can be compared by ear. Nothing is limited or clipped.
 * SI units. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_SIGNAL_SOUND_H
#define LL_SIGNAL_SOUND_H

#include "base/api.h"
#include "base/status.h"
#include <stdbool.h>
#include <stddef.h>

LL_API_BEGIN

#define LL_SOUND_RATE_HZ 48000

typedef enum ll_sound_format { LL_SOUND_FLOAT, LL_SOUND_PCM_24 } ll_sound_format;

typedef struct ll_sound_section {
    size_t n;
    const double *voltage_v;
} ll_sound_section;

typedef struct ll_sound_options {
    ll_sound_format format;
    int rate_hz;    /* LL_SOUND_RATE_HZ, unless there is a reason */
    double pause_s; /* silence between two sections */
    double
        full_scale_v; /* the voltage that becomes 1; 0: the highest peak of all sections becomes peak */
    double peak;      /* above 0, at most 1; looked at only when full_scale_v is 0 */
} ll_sound_options;

/* What the file holds. */
typedef struct ll_sound_facts {
    double seconds;
    double full_scale_v; /* the voltage that became 1 */
    double peak;         /* largest sample; above 1 only in a float file, where it is not clipped */
} ll_sound_facts;

/* Whether this library was built with libsndfile. */
bool ll_sound_available(void);

/* Writes one channel to path, over any file of that name; facts may be NULL. LL_NO_SOUND without libsndfile; LL_CLIPS when a
 * 24 bit file could not hold the peak: nothing is written then; LL_BAD_VALUE for options out of range or samples that are not
 * finite; LL_FILE when the file cannot be written; one that was begun is left as it is. */
ll_status ll_sound_write(const char *path, const ll_sound_options *options, size_t sections,
                         const ll_sound_section *section, ll_sound_facts *facts);

/* The same into memory: *size bytes that the caller frees with free. */
ll_status ll_sound_encode(const ll_sound_options *options, size_t sections,
                          const ll_sound_section *section, unsigned char **bytes, size_t *size,
                          ll_sound_facts *facts);

/* The same with 1 to 8 channels that all hold the same. */
ll_status ll_sound_encode_channels(int channels, const ll_sound_options *options, size_t sections,
                                   const ll_sound_section *section, unsigned char **bytes,
                                   size_t *size, ll_sound_facts *facts);

LL_API_END

#endif
