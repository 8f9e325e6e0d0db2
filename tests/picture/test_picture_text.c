/* Texts that strangers' scripts put on pictures. The sequences are those of RFC 3629 and of Kuhn's UTF-8 stress test
 * (from memory).
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check.h"
#include "picture/text.h"
#include <stdio.h>

static void only_characters_that_can_be_drawn_are_left(void **state)
{
    (void)state;
    static const struct {
        const char *given, *clean;
    } rows[] = {
        {"plain", "plain"},
        {"5 \xc3\x97 18 \xe2\x88\x92 \xf0\x9f\x8e\xb8",
         "5 \xc3\x97 18 \xe2\x88\x92 \xf0\x9f\x8e\xb8"},
        {"a\nb\tc\x7f", "a b c "},
        {"\xff\xfe", "??"},
        {"\xc3", "?"},
        {"\xe2\x88", "??"},
        {"\xc0\xaf", "??"},           /* overlong */
        {"\xed\xa0\x80", "???"},      /* a surrogate */
        {"\xef\xbf\xbf", "???"},      /* U+FFFF */
        {"\xf4\x90\x80\x80", "????"}, /* beyond Unicode */
        {"\xc2\x85", "  "},           /* a control character of two bytes */
    };
    char text[64];
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        snprintf(text, sizeof text, "%s", rows[i].given);
        picture_clean(text);
        assert_string_equal(text, rows[i].clean);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_characters_that_can_be_drawn_are_left),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
