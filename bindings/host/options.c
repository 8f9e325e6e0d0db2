/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "options.h"
#include "module/base/nearest.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const formats[] = {"text", "csv", "markdown", "json", NULL};

/* All of the text as a number within the bounds; refuses nan. */
static bool read_number(const char *text, double low, double high, double *out)
{
    char *end;
    double value = strtod(text, &end);
    if (end == text || *end || !(value >= low && value <= high))
        return false;
    *out = value;
    return true;
}

static bool read_format(const char *text, host_options *out)
{
    for (int i = 0; formats[i]; i++)
        if (strcmp(text, formats[i]) == 0) {
            out->format = formats[i];
            return true;
        }
    return false;
}

static bool read_out(const char *text, host_options *out)
{
    out->out = text;
    return *text != '\0';
}

static bool read_in(const char *text, host_options *out)
{
    out->in = text;
    return *text != '\0';
}

static bool read_time(const char *text, host_options *out)
{
    return read_number(text, 0.001, 1e7, &out->time_limit_s);
}

static bool read_memory(const char *text, host_options *out)
{
    return read_number(text, 1, 1e6, &out->memory_limit_mb);
}

static bool read_threads(const char *text, host_options *out)
{
    double value;
    if (!read_number(text, 1, 1024, &value) || value != floor(value))
        return false;
    out->threads = (int)value;
    return true;
}

/* "3/8" */
static bool read_part(const char *text, host_options *out)
{
    const char *slash = strchr(text, '/');
    char part[8] = "";
    double k, n;
    if (!slash || (size_t)(slash - text) >= sizeof part)
        return false;
    memcpy(part, text, (size_t)(slash - text));
    if (!read_number(slash + 1, 1, 1000, &n) || !read_number(part, 1, n, &k) || k != floor(k) ||
        n != floor(n))
        return false;
    out->part = (int)k;
    out->parts = (int)n;
    return true;
}

static bool set_quiet(const char *text, host_options *out)
{
    (void)text;
    return out->quiet = true;
}

static bool set_stamp(const char *text, host_options *out)
{
    (void)text;
    return out->stamp = true;
}

static bool set_watch(const char *text, host_options *out)
{
    (void)text;
    return out->watch = true;
}

static bool set_help(const char *text, host_options *out)
{
    (void)text;
    return out->help = true;
}

static const host_option options[] = {
    {"--format", "text|csv|markdown|json", "how tables are printed (text)",
     "text, csv, markdown or json", read_format},
    {"--in", "DIR", "the only folder that data is read from", "a folder", read_in},
    {"--out", "DIR", "the only folder that files are written to", "a folder", read_out},
    {"--time-limit", "S", "seconds that a script may take (600)", "seconds, more than 0",
     read_time},
    {"--memory-limit", "MB", "memory that a script may take (2048)", "megabytes, 1 or more",
     read_memory},
    {"--threads", "N", "threads to compute with (one per processor)", "a whole number, 1 or more",
     read_threads},
    {"--part", "K/N", "of sweeps with a file, only the K-th of N shares",
     "a share and their number, as in 3/8, at most 1000", read_part},
    {"--stamp", NULL,
     "say which script, version and values it was: at the end, and in every table that is saved",
     NULL, set_stamp},
    {"--watch", NULL, "run again whenever the script is saved", NULL, set_watch},
    {"--quiet", NULL, "no progress and no remarks", NULL, set_quiet},
    {"--help", NULL, "what a command does and takes", NULL, set_help},
    {"-h", NULL, NULL, NULL, set_help},
    {.name = NULL},
};

enum { OPTION_COUNT = sizeof options / sizeof *options - 1 };

const host_option *host_options_known(void)
{
    return options;
}

/* Compares the whole name: abbreviations would break when options are added. */
static const host_option *option_named(const char *word, size_t length)
{
    for (size_t i = 0; i < OPTION_COUNT; i++)
        if (strlen(options[i].name) == length && strncmp(options[i].name, word, length) == 0)
            return &options[i];
    return NULL;
}

/* An option that does not exist, with the one that was meant, or how a value is given; `next` is the word behind it. */
static bool refuse(const char *word, const char *next)
{
    bind_nearest nearest = {.wanted = word};
    const char *name = word + strspn(word, "-"), *equals = strchr(name, '=');
    for (size_t i = 0; i < OPTION_COUNT; i++)
        bind_nearest_try(&nearest, options[i].name);
    fprintf(stderr, "lodeloom: there is no option %s", word);
    if (nearest.name)
        fprintf(stderr, "; did you mean %s?", nearest.name);
    else if (*name)
        fprintf(stderr, "; a value for the script is written without dashes, as in %s%s%s", name,
                equals ? "" : "=",
                equals                 ? ""
                : next && *next != '-' ? next
                                       : "5");
    fputc('\n', stderr);
    return false;
}

bool host_option_listed(const host_option *option, const char *list)
{
    const size_t length = strlen(option->name);
    const char *at = strstr(list, option->name);
    return at && (at[length] == ' ' || at[length] == '\0');
}

const char *host_option_beside(const host_options *out, const char *list)
{
    for (size_t i = 0; i < OPTION_COUNT; i++)
        if (out->given & 1u << i && !host_option_listed(&options[i], list))
            return options[i].name;
    return NULL;
}

/* Reads one option, `--name=value` or `--name value`; *i goes on past its value. */
static bool read_option(int count, char **words, int *i, host_options *out)
{
    const char *word = words[*i], *equals = strchr(word, '=');
    size_t length = equals ? (size_t)(equals - word) : strlen(word);
    const host_option *option = option_named(word, length);
    if (!option)
        return refuse(word, *i + 1 < count ? words[*i + 1] : NULL);
    out->given |= 1u << (option - options);
    if (!option->value && equals)
        fprintf(stderr, "lodeloom: %s takes no value\n", option->name);
    if (!option->value)
        return !equals && option->read(NULL, out);
    const char *value = equals ? equals + 1 : *i + 1 < count ? words[++*i] : "";
    if (option->read(value, out))
        return true;
    fprintf(stderr, "lodeloom: %s takes %s, not '%s'\n", option->name, option->takes, value);
    return false;
}

bool host_options_read(int count, char **words, host_options *out)
{
    *out = (host_options){
        .format = "text", .time_limit_s = 600, .memory_limit_mb = 2048, .words = words};
    bool names_only = false;
    for (int i = 0; i < count; i++) {
        if (!names_only && strcmp(words[i], "--") == 0)
            names_only = true;
        else if (names_only || words[i][0] != '-' || !words[i][1] ||
                 strchr(words[i], '=') == words[i] + 1)
            out->words[out->word_count++] = words[i];
        else if (!read_option(count, words, &i, out))
            return false;
    }
    return true;
}
