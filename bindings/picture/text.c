/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "text.h"
#include <stddef.h>
#include <string.h>

/* Bytes of the sequence that begins here and its code point; 0 when it is none. Overlong ones have too small a point. */
static size_t sequence(const unsigned char *at, unsigned long *point)
{
    static const struct {
        unsigned char mask, mark;
        unsigned long least;
    } kinds[] = {{0x80, 0x00, 0}, {0xe0, 0xc0, 0x80}, {0xf0, 0xe0, 0x800}, {0xf8, 0xf0, 0x10000}};
    for (size_t more = 0; more < 4; more++) {
        if ((at[0] & kinds[more].mask) != kinds[more].mark)
            continue;
        *point = at[0] & (unsigned char)~kinds[more].mask;
        for (size_t i = 1; i <= more; i++) {
            if ((at[i] & 0xc0) != 0x80) /* the end of the text is none either */
                return 0;
            *point = *point << 6 | (at[i] & 0x3f);
        }
        return *point >= kinds[more].least ? more + 1 : 0;
    }
    return 0;
}

/* Surrogates and what lies beyond Unicode are no characters; U+FFFE and U+FFFF are none in XML. */
static int is_character(unsigned long point)
{
    return point <= 0x10ffff && !(point >= 0xd800 && point <= 0xdfff) && (point & 0xfffe) != 0xfffe;
}

void picture_clean(char *text)
{
    unsigned char *at = (unsigned char *)text;
    while (*at) {
        unsigned long point = 0;
        size_t length = sequence(at, &point);
        if (length == 0 || !is_character(point)) {
            memset(at, '?', length ? length : 1);
        } else if (point < 0x20 || (point >= 0x7f && point < 0xa0)) {
            memset(at, ' ', length);
        }
        at += length ? length : 1;
    }
}
