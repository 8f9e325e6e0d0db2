/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "elements/body_form.h"

#include <stdlib.h>

ll_body_form *ll_body_form_share(ll_body_form *form)
{
#pragma omp atomic
    form->users++;
    return form;
}

static void clear_common(ll_body_form *form)
{
    free(form->place_m);
    free(form->volume_m3);
    free(form->region);
    free(form->surface_m);
    free(form->normal);
    free(form->area_m2);
    free(form->layer_size);
    free(form->node_m);
    for (int k = 0; k < 3; k++)
        free(form->mirror[k]);
}

void ll_body_form_release(ll_body_form *form)
{
    if (!form)
        return;
    int left;
#pragma omp atomic capture
    left = --form->users;
    if (left > 0)
        return;
    clear_common(form);
    form->kind->free(form);
}
