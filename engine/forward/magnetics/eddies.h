/* eddies.h - its old place; see eddies/eddies.h. SPDX-License-Identifier: GPL-3.0-or-later */
#include "eddies/eddies.h"
