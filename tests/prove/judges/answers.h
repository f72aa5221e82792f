/* answers.h: what is granted is done, and what may not be is not granted; no fault without its
 * cause. */
#ifndef PROVE_ANSWERS_H
#define PROVE_ANSWERS_H

#include "prove/judges/judged.h"

judgement answers_are_kept;

/* A jog goes on only from step to step: it does not begin again by itself. */
judgement answers_jog_while_asked;

/* After an emergency stop, asked for or hard-wired, track power wants a request of its own. */
judgement answers_power_after_a_stop;

/* The fault that is latched in a step names something that its inputs show, or a time over. */
judgement answers_name_a_cause;

#endif
