#include "tools/drawtender/timetable/bridge_times.h"

#include "core/horn.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static void set(struct bridge_time *time, uint64_t us, const char *source) {
    uint64_t ms = (us + 999) / 1000;
    time->ms = ms < INT32_MAX ? (int32_t)ms : INT32_MAX;
    snprintf(time->source, sizeof time->source, "%s", source);
}

void bridge_times_clear(struct bridge_times *times) {
    static const struct bridge_time unknown = {.ms = -1};
    *times = (struct bridge_times){unknown, unknown, unknown};
}

static void prefer(struct bridge_time *time, const struct bridge_time *better) {
    if (better->ms >= 0) {
        *time = *better;
    }
}

void bridge_times_prefer(struct bridge_times *times, const struct bridge_times *better) {
    prefer(&times->opening, &better->opening);
    prefer(&times->closing, &better->closing);
    prefer(&times->approach, &better->approach);
}

/* --- reckoned */

static uint64_t longer(uint64_t a, uint64_t b) {
    return a > b ? a : b;
}

static uint64_t warning_us(const struct bridge_setup *setup, enum horn_signal signal) {
    struct horn_state horn = {0};
    uint64_t sum_us = 0;
    for (horn_start(setup, &horn, signal); horn.left_us > 0;) {
        sum_us += horn.left_us;
        horn_step(setup, &horn, horn.left_us);
    }
    return longer(sum_us, setup->warning_us);
}

/* Which proofs there are to wait for. */
struct ends {
    bool has_signal_proof, has_power_proof;
    uint64_t locking_us; /* the longest approach locking */
    uint64_t always_us;  /* and where it runs at every opening, for nobody sees a train */
};

static struct ends look_at_ends(const struct bridge_setup *setup) {
    struct ends ends = {0};
    for (unsigned t = 0; t < setup->tracks; t++) {
        ends.has_power_proof |= setup->track[t].has_span_power_proof;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_setup *end = &setup->track[t].end[e];
            if (!end->is_used) {
                continue;
            }
            ends.has_signal_proof |= end->has_signal_proof;
            ends.has_power_proof |= end->has_stop_power_proof;
            ends.locking_us = longer(ends.locking_us, end->approach_lock_us);
            if (!end->has_approach_detector) {
                ends.always_us = longer(ends.always_us, end->approach_lock_us);
            }
        }
    }
    return ends;
}

bool bridge_times_reckon(struct bridge_times *times, const struct net_bridge_setup *net,
                         const struct config_bridge *bridge, struct error *error) {
    bridge_times_clear(times);
    const struct bridge_setup *setup = &net->setup;
    const struct ends ends = look_at_ends(setup);
    set(&times->approach, ends.locking_us, "approach locking of the configuration");
    if (setup->is_hand_lifted) {
        return true;
    }
    const struct sizing sizing = sizing_of(&bridge->sizing);
    if (!isfinite(sizing.up.duration_s) || !isfinite(sizing.down.duration_s)) {
        return error_set(error, "", "the span of \"%s\" would never arrive", net->name);
    }
    uint64_t signals_us = longer(ends.has_signal_proof ? setup->proof_limit_us : 0, ends.always_us);
    uint64_t power_us = ends.has_power_proof ? setup->proof_limit_us : 0;
    uint64_t rails_us = setup->rails > 0 ? setup->proof_limit_us : 0;
    set(&times->opening,
        signals_us + power_us + warning_us(setup, HORN_OPENING) + setup->lock_limit_us +
            (uint64_t)(sizing.up.duration_s * 1e6),
        "calculated, proofs and lock at their limits");
    set(&times->closing,
        warning_us(setup, HORN_CLOSING) + (uint64_t)(sizing.down.duration_s * 1e6) +
            setup->motion.push_us + setup->lock_limit_us + rails_us,
        "calculated, proofs and lock at their limits");
    return true;
}

/* --- measured */

/* Of one opening after the other. */
struct taken {
    size_t openings, closings;
    uint64_t *opening_us, *closing_us; /* once trains are away; from the warning on */
    uint64_t signals_us;               /* the shortest */
};

static bool is_on_the_way_up(enum bridge_phase phase) {
    return phase == PHASE_CLEARING || phase == PHASE_CUTTING || phase == PHASE_WARNING ||
           phase == PHASE_UNLOCKING || phase == PHASE_RAISING;
}

static bool is_on_the_way_down(enum bridge_phase phase) {
    return phase == PHASE_WARNING || phase == PHASE_UNLOCKING || phase == PHASE_LOWERING ||
           phase == PHASE_SEATING || phase == PHASE_LOCKING || phase == PHASE_PROVING;
}

/* Returns the step after it was open; 0: it did not come there in one go. */
static unsigned take_way_up(const struct logbook_opening *opening, struct taken *taken) {
    uint64_t clearing_us = opening->asked_us;
    uint64_t cutting_us = 0;
    unsigned i = 0;
    while (i < opening->steps && is_on_the_way_up(opening->step[i].phase)) {
        const struct logbook_step *step = &opening->step[i++];
        clearing_us = step->phase == PHASE_CLEARING ? step->at_us : clearing_us;
        cutting_us = step->phase == PHASE_CUTTING ? step->at_us : cutting_us;
    }
    if (i == opening->steps || opening->step[i].phase != PHASE_OPEN || cutting_us == 0) {
        return 0;
    }
    taken->opening_us[taken->openings++] = opening->step[i].at_us - cutting_us;
    if (cutting_us - clearing_us < taken->signals_us) {
        taken->signals_us = cutting_us - clearing_us;
    }
    return i + 1;
}

static void take_way_down(const struct logbook_opening *opening, unsigned from,
                          struct taken *taken) {
    unsigned i = from;
    while (i < opening->steps && is_on_the_way_down(opening->step[i].phase)) {
        i++;
    }
    if (i > from && i < opening->steps && opening->step[i].phase == PHASE_LINED) {
        taken->closing_us[taken->closings++] = opening->step[i].at_us - opening->step[from].at_us;
    }
}

static int by_size(const void *a, const void *b) {
    const uint64_t *left = a;
    const uint64_t *right = b;
    return (*left > *right) - (*left < *right);
}

/* Nearest rank. */
static uint64_t quantile(uint64_t *value, size_t count) {
    qsort(value, count, sizeof *value, by_size);
    return value[(count * BRIDGE_TIMES_QUANTILE + 99) / 100 - 1];
}

static void set_measured(struct bridge_time *time, uint64_t us, size_t count, const char *what) {
    char source[BRIDGE_TIMES_SOURCE_SIZE];
    snprintf(source, sizeof source, "measured: %d %% of %zu recorded %s took no longer",
             BRIDGE_TIMES_QUANTILE, count, what);
    set(time, us, source);
}

static bool measure(struct bridge_times *times, const struct logbook *logbook,
                    struct taken *taken) {
    for (size_t i = 0; i < logbook->openings; i++) {
        unsigned next = take_way_up(&logbook->opening[i], taken);
        if (next > 0) {
            take_way_down(&logbook->opening[i], next, taken);
        }
    }
    if (taken->openings == 0 || taken->closings == 0) {
        return false;
    }
    set_measured(&times->opening, quantile(taken->opening_us, taken->openings) + taken->signals_us,
                 taken->openings, "openings");
    set_measured(&times->closing, quantile(taken->closing_us, taken->closings), taken->closings,
                 "closings");
    return true;
}

bool bridge_times_measure(struct bridge_times *times, const struct logbook *logbook,
                          struct error *error) {
    bridge_times_clear(times);
    size_t room = logbook->openings > 0 ? logbook->openings : 1;
    struct taken taken = {.opening_us = calloc(room, sizeof(uint64_t)),
                          .closing_us = calloc(room, sizeof(uint64_t)),
                          .signals_us = UINT64_MAX};
    bool has_memory = taken.opening_us != NULL && taken.closing_us != NULL;
    bool is_measured = has_memory && measure(times, logbook, &taken);
    free(taken.opening_us);
    free(taken.closing_us);
    return is_measured ||
           error_set(error, "",
                     has_memory ? "no complete opening without a stop" : "out of memory");
}
