/* puppet.h: an ideal bridge and quiet tracks around the core, in time steps of the test's own: what
 * is put out is obeyed at once or at constant speed. Every step is judged by invariants.h. */
#ifndef SUPPORT_PUPPET_H
#define SUPPORT_PUPPET_H

#include "core/bridge.h"
#include "support/core/invariants.h"

struct puppet {
    struct bridge_setup setup;
    struct bridge_state state;
    struct bridge_inputs inputs;
    struct bridge_outputs outputs;
    struct seen judge;
    double span_frac; /* 0 seated, 1 open */
    double lock_frac; /* 0 withdrawn, 1 locked */
    bool is_frozen;   /* the test sets contacts and feedbacks itself */
    uint64_t now_us;
    uint32_t horn_us;                 /* sounded since the test last zeroed it */
    void (*meddle)(struct puppet *p); /* changes inputs before each step; NULL: nobody does */
};

/* A powered bridge with everything: one track, two ends, every detector, contact and feedback. */
struct bridge_setup puppet_setup(void);
/* The same by hand: seated, locked and open contacts. */
struct bridge_setup puppet_hand_setup(void);

/* Seated and locked, no trains. The setup must be sound. */
void puppet_start(struct puppet *p, const struct bridge_setup *setup);

/* One bare step after `dt_us` with a request; the world obeys, the invariants are asserted. */
enum bridge_answer puppet_step(struct puppet *p, enum bridge_request_kind kind, uint32_t dt_us);

/* The same as the daemon does it: steps again at once while the phase changes. */
enum bridge_answer puppet_ask(struct puppet *p, enum bridge_request_kind kind, uint32_t dt_us);
enum bridge_answer puppet_ask_signal(struct puppet *p, enum bridge_request_kind kind, unsigned end);
enum bridge_answer puppet_ask_throttle(struct puppet *p, enum bridge_request_kind kind,
                                       double share, bool is_voltage, uint32_t dt_us);

/* Steps of 10 ms until the phase is reached, or `limit_us` is over. Returns whether it was reached.
 */
bool puppet_run_to(struct puppet *p, enum bridge_phase phase, uint64_t limit_us);
/* The same; a person gives the word that the span is seen clear whenever it is waited for. */
bool puppet_run_to_with_word(struct puppet *p, enum bridge_phase phase, uint64_t limit_us);
void puppet_run_for(struct puppet *p, uint64_t time_us);

/* Starts and runs until lined, the signals are clear and approach locking has released. Asserts
 * success. */
void puppet_line(struct puppet *p, const struct bridge_setup *setup);
/* Starts and goes to any phase by the requests that lead there, in bare steps, so that it stands
 * where the phase begins; held is mid travel. Asserts success. */
void puppet_start_in(struct puppet *p, const struct bridge_setup *setup, enum bridge_phase phase);

#endif
