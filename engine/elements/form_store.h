/* form_store.h - forms that may be wanted again, the most recent first. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_ELEMENTS_FORM_STORE_H
#define LL_ELEMENTS_FORM_STORE_H

#include "elements/body_form.h"

/* Whether two wishes, of the size given, ask for the same form. */
typedef bool (*ll_same_wish)(const void *a, const void *b);
typedef ll_status (*ll_make_form)(const void *wish, ll_body_form **out);

/* A form made for the same wish by the same function, or a new one; shared: the caller releases it. Thread-safe. LL_NO_MEMORY and
 * what make says. */
ll_status ll_form_store_get(size_t size, const void *wish, ll_same_wish same, ll_make_form make,
                            ll_body_form **out);

#endif
