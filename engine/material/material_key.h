/* material_key.h - the members of a material, for keys. Internal. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_MATERIAL_MATERIAL_KEY_H
#define LL_MATERIAL_MATERIAL_KEY_H

#include "base/key.h"
#include "material/material.h"

extern const ll_members ll_material_members;

void ll_material_add_to_key(const ll_material *material, ll_key *key);

#endif
