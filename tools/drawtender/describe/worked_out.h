/* worked_out.h: what a configuration wants, worked out of what was measured instead. Pure; SI
 * units.
 */
#ifndef TOOLS_DRAWTENDER_WORKED_OUT_H
#define TOOLS_DRAWTENDER_WORKED_OUT_H

#include "mechanics/drive/motor.h"
#include "tools/drawtender/describe/answers.h"

#include <stdbool.h>

/* Each returns NAN where an answer that it needs is not there. */

/* From the axis toward the tip: reading times length by mass, or half the length. */
double worked_out_centre_m(const struct answers *answers);
/* As weighed, or what the reading at the seat leaves for it. */
double worked_out_counterweight_kg(const struct answers *answers);
/* A torque, in N m; of a vertical lift a force, in N. */
bool worked_out_friction_is_guess(const struct answers *answers);
double worked_out_friction(const struct answers *answers);
/* Module of the pinion: diameter over the tips by teeth and two. */
double worked_out_module_m(const struct answers *answers);
/* Of all gears but the worm; below 1 where the worm alone is said to have more than the whole. */
double worked_out_gearbox(const struct answers *answers);
double worked_out_worm(const struct answers *answers);
/* tan = lead by the girth of the pitch cylinder, which is one module below the tips. */
double worked_out_lead_rad(const struct answers *answers);
/* V = I R + Ke w, with Kt = Ke (daemon/mechanics/drive/motor.h). False: an answer is missing, or
 * both measurements contradict one another. */
bool worked_out_motor(const struct answers *answers, struct motor_sheet *sheet);
/* v^2 / 2 s of the way that the train goes. */
double worked_out_slowing_m_s2(const struct answers *answers, enum question_id way);

#endif
