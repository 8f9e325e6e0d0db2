/* scene.h - its old place; see the headers below. SPDX-License-Identifier: GPL-3.0-or-later */
#include "magnetics/solve.h"
#include "reading/readings.h"
#include "scene/scene.h"
