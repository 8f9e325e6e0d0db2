/* study.h - an older name; see reading/estimator.h. SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_FORWARD_READING_STUDY_H
#define LL_FORWARD_READING_STUDY_H

#include "reading/estimator.h"

#define ll_study ll_estimator
#define ll_study_new ll_estimator_new
#define ll_study_free ll_estimator_free
#define ll_study_read ll_estimator_read
#define ll_study_read_kinds ll_estimator_read_kinds
#define ll_study_solution ll_estimator_solution
#define ll_study_draft ll_estimator_draft
#define ll_study_eddies ll_estimator_eddies
#define ll_study_accuracy ll_estimator_accuracy

#endif
