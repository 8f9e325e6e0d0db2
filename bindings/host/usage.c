/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "usage.h"
#include "limits.h"
#include "version.h"
#include <string.h>

static const char summary[] = "magnetic pickups, computed from a script";
static const char *const statuses[][2] = {
    {"0", "done"},
    {"1", "the script or its data is wrong, or results cannot be written"},
    {"2", "the command line is wrong"},
    {"3", "a limit was reached"},
    {"130", "interrupted"},
};
enum { STATUSES = sizeof statuses / sizeof *statuses };

const host_command *host_command_named(const char *name)
{
    const host_command *command = host_commands;
    while (command->name && strcmp(command->name, name) != 0)
        command++;
    return command->name ? command : NULL;
}

static void put_command(FILE *to, const host_command *command)
{
    char left[80];
    snprintf(left, sizeof left, "lodeloom %s %s", command->name, command->words);
    fprintf(to, "  %-38s %s\n", left, command->meaning);
}

static void put_option(FILE *to, const host_option *option)
{
    char left[80];
    snprintf(left, sizeof left, "%s %s", option->name, option->value ? option->value : "");
    fprintf(to, "  %-33s %s\n", left, option->meaning);
}

/* Those of a list, or all when it is NULL. */
static void put_options(FILE *to, const char *list)
{
    for (const host_option *option = host_options_known(); option->name; option++)
        if (option->meaning && (!list || host_option_listed(option, list)))
            put_option(to, option);
}

void host_usage(FILE *to)
{
    fprintf(to, "lodeloom - %s\n\n", summary);
    for (const host_command *command = host_commands; command->name; command++)
        if (command->words)
            put_command(to, command);
    fputc('\n', to);
    put_options(to, NULL);
    fputs("\nIt ends with\n\n", to);
    for (size_t i = 0; i < STATUSES; i++)
        fprintf(to, "  %-4s %s\n", statuses[i][0], statuses[i][1]);
}

int host_help_command(const host_command *command)
{
    if (!command->words || *command->name == '-') {
        host_usage(stdout);
        return HOST_FINE;
    }
    printf("lodeloom %s%s%s - %s\n\n", command->name, *command->words ? " " : "", command->words,
           command->meaning);
    put_options(stdout, command->takes);
    return HOST_FINE;
}

/* ---- the man page, in the macros of man(7) ---- */

/* A minus sign that can be copied, and no command of roff at the start of a line. */
static void put_roff(const char *text)
{
    for (; *text; text++)
        switch (*text) {
        case '-':
            fputs("\\-", stdout);
            break;
        case '\\':
            fputs("\\e", stdout);
            break;
        case '`':
            fputs("\\(ga", stdout);
            break;
        default:
            putchar(*text);
        }
}

static void put_term(const char *name, const char *words, const char *meaning)
{
    fputs(".TP\n\\fB", stdout);
    put_roff(name);
    fputs("\\fR \\fI", stdout);
    put_roff(words ? words : "");
    fputs("\\fR\n", stdout);
    put_roff(meaning);
    putchar('\n');
}

static void put_man(void)
{
    printf(".TH LODELOOM 1 \"\" \"lodeloom %s\" \"User Commands\"\n.SH NAME\nlodeloom \\- %s\n",
           LL_VERSION, summary);
    puts(".SH SYNOPSIS\n.B lodeloom\n.I COMMAND\n.RI [ OPTIONS ]\n.RI [ WORDS ]");
    puts(".SH DESCRIPTION\nA script describes a pickup, its magnets, steel and coils, in "
         "millimetres and degrees, and asks "
         "for readings;\nthey are computed from first principles, each with its error. The manual "
         "tells the language.");
    puts(".SH COMMANDS");
    for (const host_command *command = host_commands; command->name; command++)
        if (command->words)
            put_term(command->name, command->words, command->meaning);
    puts(".SH OPTIONS");
    for (const host_option *option = host_options_known(); option->name; option++)
        if (option->meaning)
            put_term(option->name, option->value, option->meaning);
    puts(".SH EXIT STATUS");
    for (size_t i = 0; i < STATUSES; i++)
        put_term(statuses[i][0], NULL, statuses[i][1]);
    puts(".SH EXAMPLES\n.nf\nlodeloom start rods\nlodeloom run rods.lua\nlodeloom help coil\n.fi");
}

/* ---- completion: commands first, then options and scripts ---- */

static void put_command_names(void)
{
    for (const host_command *command = host_commands; command->name; command++)
        if (command->words)
            printf("%s ", command->name);
}

static void put_option_names(const host_command *command)
{
    for (const host_option *option = host_options_known(); option->name; option++)
        if (option->meaning && host_option_listed(option, command->takes))
            printf("%s ", option->name);
}

static void put_bash(void)
{
    puts("# bash completion for lodeloom\n_lodeloom() {\n    local word=${COMP_WORDS[COMP_CWORD]} "
         "before=${COMP_WORDS[COMP_CWORD-1]}\n"
         "    COMPREPLY=()\n    case $before in\n        --format) COMPREPLY=($(compgen -W 'text "
         "csv markdown json' -- \"$word\")); return ;;\n"
         "        --in|--out) COMPREPLY=($(compgen -d -- \"$word\")); return ;;\n    esac");
    fputs("    if [[ $COMP_CWORD == 1 ]]; then\n        COMPREPLY=($(compgen -W '", stdout);
    put_command_names();
    puts("' -- \"$word\"))\n        return\n    fi\n    case ${COMP_WORDS[1]} in");
    for (const host_command *command = host_commands; command->name; command++)
        if (command->words && *command->name != '-') {
            printf("        %s) COMPREPLY=($(compgen -W '", command->name);
            put_option_names(command);
            puts("' -- \"$word\")) ;;");
        }
    puts("    esac\n    [[ $word == -* ]] || COMPREPLY+=($(compgen -f -X '!*.lua' -- "
         "\"$word\"))\n}\n"
         "complete -o filenames -F _lodeloom lodeloom");
}

static void put_zsh(void)
{
    puts("#compdef lodeloom\nlocal -a commands\ncommands=(");
    for (const host_command *command = host_commands; command->name; command++)
        if (command->words)
            printf("    '%s:%s'\n", command->name, command->meaning);
    puts(")\nif (( CURRENT == 2 )); then\n    _describe command commands\n    "
         "return\nfi\n_arguments -S \\");
    for (const host_option *option = host_options_known(); option->name; option++)
        if (option->meaning) {
            printf("    '%s[%s]", option->name, option->meaning);
            if (option->value && strcmp(option->value, "DIR") == 0)
                fputs(":folder:_files -/", stdout);
            else if (option->value)
                printf(":%s:", option->value);
            puts("' \\");
        }
    puts("    '*:script:_files -g \"*.lua\"'");
}

static void put_fish(void)
{
    puts("# fish completion for lodeloom");
    for (const host_command *command = host_commands; command->name; command++)
        if (command->words && *command->name != '-')
            printf("complete -c lodeloom -n __fish_use_subcommand -a %s -d '%s'\n", command->name,
                   command->meaning);
    for (const host_option *option = host_options_known(); option->name; option++)
        if (option->meaning)
            printf("complete -c lodeloom -l %s %s -d '%s'\n", option->name + 2,
                   option->value ? "-r" : "", option->meaning);
}

int host_describe(const host_options *options)
{
    static const struct {
        const char *name;
        void (*put)(void);
    } kinds[] = {{"man", put_man}, {"bash", put_bash}, {"zsh", put_zsh}, {"fish", put_fish}};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (options->word_count > 0 && strcmp(options->words[0], kinds[i].name) == 0) {
            kinds[i].put();
            return HOST_FINE;
        }
    fputs("lodeloom: describe takes man, bash, zsh or fish\n", stderr);
    return HOST_USAGE;
}
