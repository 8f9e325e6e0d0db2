/* commands.h - what stands behind each command; usage.h has them as data.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_HOST_COMMANDS_H
#define LL_HOST_COMMANDS_H

#include "options.h"

/* `lodeloom run SCRIPT`, `lodeloom check SCRIPT`. The exit status. */
int host_run(const host_options *options);
int host_check_only(const host_options *options);

/* `lodeloom materials [NAME]`: the tables, or one material with its source. The exit status. */
int host_materials(const host_options *options);
/* `lodeloom annotations`: what lua-language-server reads, so that an editor knows the language. */
int host_annotations(const host_options *options);

/* `lodeloom help WORD`: what ll.help says of a word of the language. The exit status. */
int host_help_word(const host_options *options);

/* `lodeloom start [KIND [FILE]]`: the kinds of templates, or a script made from one; no file is overwritten. */
int host_start(const host_options *options);

/* `lodeloom join FILE`: puts the shares of a sweep that lie beside the file together into it. The exit status. */
int host_join(const host_options *options);

#endif
