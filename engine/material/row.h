/* row.h - the rows of the material tables, for listing. SI units.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MATERIAL_ROW_H
#define LL_MATERIAL_ROW_H

#include "base/api.h"
#include <stddef.h>

LL_API_BEGIN

typedef enum ll_material_class { LL_MAGNET, LL_STEEL, LL_CONDUCTOR } ll_material_class;

/* Rows stand in a fixed order. */
typedef struct ll_material_row {
    const char *name;      /* as scripts write it */
    const char *group;     /* "magnet", "steel", "conductor", "string stock" */
    double remanence_t;    /* magnets */
    double coercivity_a_m; /* magnets: HcB, positive; 0 where unknown */
    double mu_r;           /* recoil or initial relative permeability */
    double saturation_t;   /* steels: Js, 0 where the curve gives it */
    double conductivity_s_m;
    double density_kg_m3;   /* 0 where unknown */
    double remanence_per_k; /* relative change of remanence per kelvin; 0 where unknown */
    const char *source;     /* publication, and whether it was read or is from memory */
    const char *note;       /* where sources disagree; "" if nothing to say */
} ll_material_row;

size_t ll_material_row_count(void);
/* NULL past the end. */
const ll_material_row *ll_material_row_at(size_t i);
/* For a name of the trade that may be several rows, such as "iron": which there are, in words; NULL for any other. */
const char *ll_material_which(const char *name);

LL_API_END

#endif
