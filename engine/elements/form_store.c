/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/form_store.h"
#include "base/shelf.h"

#include <stdlib.h>
#include <string.h>

/* A wish as it was made, and what came of it. */
typedef struct ll_stored_form {
    ll_make_form make;
    ll_same_wish same;
    void *wish;
    ll_body_form *form;
} ll_stored_form;

static bool serves(const void *thing, const void *wanted)
{
    const ll_stored_form *a = thing, *b = wanted;
    return a->make == b->make && a->same(a->wish, b->wish);
}

static size_t bytes_of(const void *thing)
{
    return ((const ll_stored_form *)thing)->form->bytes;
}

static void give_up(void *thing)
{
    ll_stored_form *stored = thing;
    ll_body_form_release(stored->form);
    free(stored->wish);
    free(stored);
}

static ll_shelf shelf = {
    .places = 64, .bytes = (size_t)64 << 20, .bytes_of = bytes_of, .give_up = give_up};

static ll_body_form *from_store(const ll_stored_form *wanted)
{
    ll_body_form *form = NULL;
#pragma omp critical(ll_form_store)
    {
        const ll_stored_form *found = ll_shelf_find(&shelf, serves, wanted);
        if (found)
            form = ll_body_form_share(found->form);
    }
    return form;
}

static ll_status to_store(const ll_stored_form *wanted, size_t size, ll_body_form *form)
{
    ll_stored_form *stored = malloc(sizeof *stored);
    void *wish = malloc(size);
    if (!stored || !wish) {
        free(stored);
        free(wish);
        return LL_NO_MEMORY;
    }
    memcpy(wish, wanted->wish, size);
    *stored = (ll_stored_form){wanted->make, wanted->same, wish, ll_body_form_share(form)};
#pragma omp critical(ll_form_store)
    ll_shelf_put(&shelf, stored);
    return LL_OK;
}

ll_status ll_form_store_get(size_t size, const void *wish, ll_same_wish same, ll_make_form make,
                            ll_body_form **out)
{
    const ll_stored_form wanted = {make, same, (void *)wish, NULL};
    *out = from_store(&wanted);
    if (*out)
        return LL_OK;
    ll_status status = make(wish, out);
    if (!status && (status = to_store(&wanted, size, *out)))
        ll_body_form_release(*out);
    return status;
}
