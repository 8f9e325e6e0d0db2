/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/body_form.h"

#include <stdlib.h>

static void form_free(void *thing)
{
    ll_body_form *form = thing;
    free(form->place_m);
    free(form->volume_m3);
    free(form->region);
    free(form->surface_m);
    free(form->normal);
    free(form->area_m2);
    free(form->layer_size);
    for (int k = 0; k < 3; k++)
        free(form->mirror[k]);
    form->kind->free(form);
}

void ll_body_form_begin(ll_body_form *form, const ll_body_form_kind *kind)
{
    ll_shared_begin(&form->shared, form_free);
    form->kind = kind;
}
