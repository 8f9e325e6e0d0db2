/* moving_turns.h - its old place; see reading/moving_turns.h. SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading/moving_turns.h"
