/* estimator.h - readings with their mesh error: a scene solved on two meshes, and on finer ones until the error that was asked
 * for is met.
 *
 * The values of two meshes whose lengths differ by a factor of 1.4 tell how far the finer one is from the limit: its
 * error falls about as the square of the lengths. The value given is moved towards that limit (Richardson's
 * extrapolation, with less than the full step), and the error given is wider than what is left, since the order
 * is not quite known. Where a third, coarser mesh has been solved, it has its say: two values may agree by chance.
 *
 * Bodies of higher degree (form_scene.h) stay on one mesh and go on from degree p to p + 1 and more harmonics: the value is that of
 * the higher, its error their difference and 0.03 % of the largest value for what rules and couplings leave, which both share.
 * A scene without soft material has no mesh and no mesh error.
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_READING_ESTIMATOR_H
#define LL_READING_ESTIMATOR_H

#include "base/api.h"
#include "eddies/eddies.h"
#include "magnetics/solve.h"

LL_API_BEGIN

typedef struct ll_estimator ll_estimator;

/* accuracy: the error asked for, relative to the largest value of a reading; 0 takes 0.005. Solves nothing yet. The options'
 * fineness is that of the first pair's finer mesh; 0 chooses by the accuracy. Caller frees *out; the scene may be freed before. */
ll_status ll_estimator_new(const ll_scene *scene, const ll_solve_options *options, double accuracy,
                           ll_estimator **out);
void ll_estimator_free(ll_estimator *estimator);

/* Anything that is read from one solution as `count` numbers of one kind. */
typedef ll_status (*ll_reading)(const ll_solution *solution, void *context, double *values);

/* values[count] and their error[count], refining until the worst error over the largest value is below the accuracy. When all
 * values are below `least` (0 or more), as where magnets cancel, their errors are set against `least` instead. An error above
 * the one asked for means that the finest mesh allowed did not reach it. progress (or NULL) is asked while it solves. One thread at a time. */
ll_status ll_estimator_read(ll_estimator *estimator, const ll_progress *progress,
                            ll_reading reading, void *context, double least, size_t count,
                            double *values, double *error);

/* The same for values of several kinds, as values[kinds][count]: each kind is judged against its own largest value or
 * least[kinds]. An error `wider` times the accuracy will do: 1, or more for what nobody asks to the same per cent. */
ll_status ll_estimator_read_kinds(ll_estimator *estimator, const ll_progress *progress,
                                  ll_reading reading, void *context, size_t kinds,
                                  const double *least, double wider, size_t count, double *values,
                                  double *error);

/* The finest solution so far, solving if there is none. It lives until the next reading or the estimator's end. */
ll_status ll_estimator_solution(ll_estimator *estimator, const ll_progress *progress,
                                const ll_solution **out);
/* The same from the first mesh alone when none was solved yet: for what differs between builds, its error unknown. */
ll_status ll_estimator_draft(ll_estimator *estimator, const ll_progress *progress,
                             const ll_solution **out);
/* The eddy currents over a range that holds f_hz[count], from the coarser of the two meshes: they are changes of what the
 * finer one gives, and need less. Kept for the next time; it lives as long as a solution does. */
ll_status ll_estimator_eddies(ll_estimator *estimator, const ll_progress *progress, size_t count,
                              const double *f_hz, const ll_eddies **out);
double ll_estimator_accuracy(const ll_estimator *estimator);

LL_API_END

#endif
