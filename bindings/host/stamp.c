/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stamp.h"
#include "host_api.h"
#include "module/base/hash.h"
#include "module/base/settings.h"
#include <stdio.h>
#include <string.h>

/* They were sorted when they were given. */
static void print_inputs(FILE *to, char **words, int count)
{
    fputs(count > 0 ? ", with" : ", no values given", to);
    for (int i = 0; i < count; i++)
        fprintf(to, " %s", words[i]);
}

void host_print_stamp(lua_State *L, const host_options *options)
{
    char hash[BIND_HASH_TEXT];
    FILE *to = host_is_for_machines(options->format) ? stderr : stdout;
    const char *slash = strrchr(options->words[0], '/');
    bind_hash_text(bind_settings_of(L)->script_hash, hash);
    fprintf(to, "stamp: lodeloom %s, %s %s", LL_VERSION, slash ? slash + 1 : options->words[0],
            hash);
    print_inputs(to, options->words + 1, options->word_count - 1);
    fputc('\n', to);
}
