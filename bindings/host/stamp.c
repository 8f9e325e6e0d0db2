/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stamp.h"
#include "host_api.h"
#include "module/base/hash.h"
#include "module/base/settings.h"
#include "piped.h"
#include "version.h"
#include <stdio.h>
#include <string.h>

void host_print_stamp(lua_State *L, const host_options *options)
{
    char hash[BIND_HASH_TEXT];
    FILE *to = host_is_for_machines(options->format) ? stderr : stdout;
    const bool piped = strcmp(options->words[0], HOST_DASH) == 0;
    const char *name = piped ? HOST_PIPED : options->words[0], *slash = strrchr(name, '/');
    bind_hash_text(bind_stamp_of(L)->script_hash, hash);
    fprintf(to, "stamp: lodeloom %s, %s %s", LL_VERSION, slash ? slash + 1 : name, hash);
    fputs(options->word_count > 1 ? ", with" : ", no values given", to);
    for (int i = 1; i < options->word_count; i++) /* sorted when they were given */
        fprintf(to, " %s", options->words[i]);
    fputc('\n', to);
}
