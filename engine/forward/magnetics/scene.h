/* scene.h - its old place; see scene/scene.h. SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene/scene.h"
