/* text.h - texts made fit for letters and for XML. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_PICTURE_TEXT_H
#define LL_PICTURE_TEXT_H

/* In place: a control character becomes a blank, a byte that is no UTF-8 (RFC 3629) and what XML forbids becomes a
 * question mark. Names come from strangers' scripts, and cairo stops drawing at the first fault. */
void picture_clean(char *text);

#endif
