/* fuzz_command_line.c - the words of a command line, parted by zero bytes: options, the script's name, values given to it, and the
 * stamp that names them. Every value that was taken must be found under its name.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "header.h"
#include "stamp.h"
#include "target.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_WORDS = 64 };

/* given[name], which is the text or the number that it spells. */
static void look_up(host_sandbox *sandbox, const char *word)
{
    lua_State *L = sandbox->L;
    const char *equals = strchr(word, '=');
    lua_rawgeti(L, LUA_REGISTRYINDEX, sandbox->environment);
    lua_getfield(L, -1, "given");
    lua_pushlstring(L, word, (size_t)(equals - word));
    lua_gettable(L, -2);
    if (lua_isnil(L, -1))
        fuzz_found("a value that was given is not there");
    lua_settop(L, 0);
}

/* NAME=VALUE becomes NAME7=VALUE in the seventh input: the sandbox remembers what earlier ones gave, and takes no name twice. */
static char *as_own(const char *word, int input)
{
    const char *equals = strchr(word, '=');
    const size_t room = strlen(word) + 20;
    char *own = malloc(room);
    if (!own)
        abort();
    snprintf(own, room, "%.*s%d%s", equals ? (int)(equals - word) : 0, word, input,
             equals ? equals : word);
    return own;
}

static void give(host_sandbox *sandbox, host_options *options)
{
    static int input;
    char *own[MOST_WORDS], **first = options->words + 1;
    const int count = options->word_count - 1;
    input++;
    for (int i = 0; i < count; i++)
        own[i] = first[i] = as_own(first[i], input);
    if (host_sandbox_give(sandbox, count, first))
        for (int i = 0; i < count; i++)
            look_up(sandbox, own[i]);
    host_print_stamp(sandbox->L, options);
    for (int i = 0; i < count; i++)
        free(own[i]);
}

static void use(host_sandbox *sandbox, host_options *options)
{
    const host_header header = host_header_of(options->words[0]);
    host_header_suits(&header, options->words[0]);
    give(sandbox, options);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    host_sandbox *sandbox = fuzz_sandbox(true);
    char *text = calloc(size + 1, 1), *words[MOST_WORDS];
    int count = 0;
    host_options options;
    if (!text)
        abort();
    memcpy(text, data, size);
    for (size_t at = 0; at < size && count < MOST_WORDS; at += strlen(text + at) + 1)
        words[count++] = text + at;
    if (host_options_read(count, words, &options) && options.word_count > 0)
        use(sandbox, &options);
    free(text);
    return 0;
}
