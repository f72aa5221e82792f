/* trial.h: one opening with something wrong, from any moment of it. */
#ifndef FAULTS_TRIAL_H
#define FAULTS_TRIAL_H

#include "faults/bridges.h"
#include "faults/catalog.h"
#include "faults/closed.h"

/* When the fault comes: in the step that begins a phase, or half way through a movement. */
enum moment {
    MOMENT_UNPROVED = 0,
    MOMENT_LINED,
    MOMENT_CLEARING,
    MOMENT_CUTTING,
    MOMENT_WARNING,
    MOMENT_UNLOCKING,
    MOMENT_BAR_HALF_OUT,
    MOMENT_RAISING,
    MOMENT_HALF_UP,
    MOMENT_OPEN,
    MOMENT_WARNING_DOWN,
    MOMENT_LOWERING,
    MOMENT_HALF_DOWN,
    MOMENT_SEATING,
    MOMENT_LOCKING,
    MOMENT_BAR_HALF_IN,
    MOMENT_PROVING,
    MOMENT_HELD,
    MOMENT_FAULT,
    MOMENTS
};

enum trains {
    TRAINS_NONE = 0,
    TRAINS_COMING,    /* one comes from the west, and looks at its signal */
    TRAINS_ON_BRIDGE, /* one stands on the span when the opening begins; lined only */
    TRAIN_SCENES
};

/* A sound opening, kept at each moment: trials begin as copies of these. */
struct stage {
    struct closed at[MOMENTS];
    bool has_bar; /* else it has no moments of its own */
};

void stage_set(struct stage *stage, enum fault_bridge bridge, uint32_t debounce_us);

/* Whether there is such a trial. A train that stands on a span which only time watches is no fault
 * of anything, and not seen: README.md. */
bool stage_has(const struct stage *stage, enum moment moment, enum trains trains);
const char *moment_name(enum moment moment);

enum end_kind {
    END_COMPLETE = 0, /* lined again after the opening */
    END_GIVEN_UP,     /* trains did not clear in time: lined or held, ready to be asked */
    END_FAULT,        /* latched, and says which */
    END_WAITS,        /* stays where it is and says for what */
    END_HUNG          /* neither */
};

struct outcome {
    enum end_kind end;
    enum bridge_fault fault;
    enum bridge_wait wait;
    bool is_dark;       /* lined, yet a home signal stays at stop */
    uint64_t safe_us;   /* from the fault to the safe state, where `end` is END_FAULT */
    const char *broken; /* an invariant; NULL: none */
    uint32_t untrue;
    bool is_mended; /* all mended and acknowledged, it came to lined */
};

/* One opening from `moment` with `first` at once and `second` (may be NULL) `later_us` after it.
 * `mend`: tries afterwards whether it can be lined again. */
struct outcome trial_run(const struct stage *stage, enum moment moment, enum trains trains,
                         const struct bridge_defect *first, const struct bridge_defect *second,
                         uint64_t later_us, bool mend);

#endif
