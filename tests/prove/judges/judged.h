/* judged.h: one step as the judges see it: what was before, what went in, what came out. */
#ifndef PROVE_JUDGED_H
#define PROVE_JUDGED_H

#include "core/bridge.h"
#include "prove/moves/moves.h"
#include "support/core/seen.h"

#include <stdbool.h>

struct judged {
    const struct bridge_setup *setup;
    const struct bridge_inputs *in;
    const struct bridge_request *request;
    uint32_t dt_us;
    const struct endings *ends;        /* longest times that end in this step */
    const struct bridge_state *before; /* the core's state */
    const struct bridge_state *after;
    const struct bridge_outputs *out_before; /* what the step before put out */
    const struct bridge_outputs *out;
    enum bridge_answer answer;
    const struct proved *proved; /* by inputs and outputs alone */
    const struct seen *seen;
};

/* A judgement returns NULL, or the number and words of what was broken. */
typedef const char *judgement(const struct judged *j);

/* The outputs that could hurt are all at rest. */
bool judged_is_safe(const struct judged *j);

/* A step that is over: the fault is latched, and all is safe already. */
bool judged_has_failed_safe(const struct judged *j);

/* The step came to that phase from another. */
bool judged_is_entered(const struct judged *j, enum bridge_phase phase);

#endif
