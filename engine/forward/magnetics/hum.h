/* hum.h - its old place; see reading/hum.h. SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading/hum.h"
