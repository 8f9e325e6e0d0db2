/* model_error.h - how far the approximations of alternating.h may put the change off that it gives, apart from the mesh.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_EDDIES_MODEL_ERROR_H
#define LL_EDDIES_MODEL_ERROR_H

#include "scene/scene.h"

/* As a share of the change, the worst of all parts that conduct: bounds met in comparisons with finite elements that resolve the
 * skin depth (decks e1_cores, e2_conductors and eddy.idp in tests/reference/decks), by what kind of piece it is. */
double ll_eddies_model_share(const ll_scene *scene);

#endif
