/* study.h - its old place; see reading/study.h. SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading/study.h"
