#include "io/composite.h"

#include "base/invariant.h"
#include "base/time_limit.h"
#include "core/words/lines.h"

#include <stddef.h>
#include <stdlib.h>
#include <string.h>

static const char where[] = "lines";

struct part {
    const struct port_ops *ops;
    void *port;
    struct composite_part setup;
    bool is_safe; /* as the last safe() or settle() knew it */
    bool is_over; /* settle() can change nothing of it any more */
};

struct composite {
    struct bridge_inputs seen; /* of all parts, as of the last sense */
    struct port_settings settings[COMPOSITE_PARTS_MAX];
    unsigned parts;
    struct part part[COMPOSITE_PARTS_MAX];
};

/* ---- whole and unambiguous */

static const struct line_track numbered[BRIDGE_TRACKS_MAX] = {
    {"track 1", {"end 1", "end 2"}},
    {"track 2", {"end 1", "end 2"}},
    {"track 3", {"end 1", "end 2"}},
    {"track 4", {"end 1", "end 2"}},
};

static unsigned first_of(uint64_t set) {
    unsigned number = 0;
    INVARIANT(set != 0);
    while ((set >> number & 1) == 0) {
        number++;
    }
    return number;
}

/* True if both sets are empty. */
static bool complain_of(struct line_set set, const char *what, struct error *error) {
    char name[LINE_NAME_SIZE];
    if (set.inputs != 0) {
        lines_input_name(numbered, first_of(set.inputs), name);
        return error_set(error, where, "the input \"%s\" %s", name, what);
    }
    if (set.outputs != 0) {
        lines_output_name(numbered, first_of(set.outputs), name);
        return error_set(error, where, "the output \"%s\" %s", name, what);
    }
    return true;
}

bool composite_is_whole(const struct composite_setup *setup, const struct bridge_setup *bridge,
                        struct error *error) {
    struct line_set served = {0, 0};
    struct line_set twice = {0, 0};
    for (unsigned i = 0; i < setup->parts; i++) {
        struct line_set lines = setup->part[i].lines;
        twice.inputs |= served.inputs & lines.inputs;
        twice.outputs |= served.outputs & lines.outputs;
        served.inputs |= lines.inputs;
        served.outputs |= lines.outputs;
    }
    struct line_set there = lines_there(bridge);
    struct line_set needed = lines_needed(bridge);
    struct line_set strange = {served.inputs & ~there.inputs, served.outputs & ~there.outputs};
    struct line_set missing = {needed.inputs & ~served.inputs, needed.outputs & ~served.outputs};
    return complain_of(twice, "is assigned twice", error) &&
           complain_of(strange, "is not a line of this bridge", error) &&
           complain_of(missing, "is not assigned", error);
}

/* ---- the port */

static void composite_close(void *port) {
    struct composite *composite = port;
    for (unsigned i = 0; i < composite->parts; i++) {
        composite->part[i].ops->close(composite->part[i].port);
    }
    free(composite);
}

static bool open_part(struct composite *composite, const struct composite_part *setup,
                      const struct port_settings *settings, const struct port_host *host,
                      struct error *error) {
    INVARIANT(composite->parts < COMPOSITE_PARTS_MAX);
    struct part *part = &composite->part[composite->parts];
    struct port_settings *own = &composite->settings[composite->parts];
    *own = *settings;
    own->which = setup->which;
    own->seen = &composite->seen;
    part->setup = *setup;
    part->ops = settings->find(setup->driver);
    if (part->ops == NULL || part->ops == &composite_ops) {
        return error_set(error, where, "no output driver is called \"%s\"", setup->driver);
    }
    if (settings->is_dry && !part->ops->can_run_dry) {
        return error_set(error, where, "the driver \"%s\" has no dry run", setup->driver);
    }
    part->port = part->ops->open(own, host, error);
    if (part->port == NULL) {
        return false;
    }
    composite->parts++;
    return true;
}

static void *composite_open(const struct port_settings *settings, const struct port_host *host,
                            struct error *error) {
    const struct composite_setup *setup = port_own(settings, composite_ops.name);
    if (setup == NULL) {
        error_set(error, where, "the configuration has no settings for this driver");
        return NULL;
    }
    if (!composite_is_whole(setup, settings->setup, error)) {
        return NULL;
    }
    struct composite *composite = calloc(1, sizeof *composite);
    if (composite == NULL) {
        error_set(error, where, "out of memory");
        return NULL;
    }
    lines_forget(&composite->seen);
    for (unsigned i = 0; i < setup->parts; i++) {
        if (!open_part(composite, &setup->part[i], settings, host, error)) {
            composite_close(composite);
            return NULL;
        }
    }
    return composite;
}

static bool is_stale(const struct part *part, uint64_t now_us) {
    if (part->setup.stale_us == 0 || part->ops->fresh_us == NULL) {
        return false;
    }
    uint64_t fresh_us = part->ops->fresh_us(part->port);
    return now_us > fresh_us && now_us - fresh_us > part->setup.stale_us;
}

/* Returns whether the part has started. */
static bool sense_part(struct part *part, uint64_t now_us, struct bridge_inputs *inputs) {
    struct bridge_inputs reading;
    lines_forget(&reading);
    part->ops->sense(part->port, now_us, &reading);
    if (part->ops->is_starting != NULL && part->ops->is_starting(part->port)) {
        return false;
    }
    if (reading.is_device_lost || is_stale(part, now_us)) {
        inputs->is_device_lost = true;
    } else {
        lines_take(inputs, &reading, part->setup.lines.inputs);
    }
    return true;
}

static void composite_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs) {
    struct composite *composite = port;
    bool has_started = true;
    lines_forget(inputs);
    for (unsigned i = 0; i < composite->parts; i++) {
        has_started = sense_part(&composite->part[i], now_us, inputs) && has_started;
    }
    if (!has_started && !inputs->is_device_lost) {
        enum level stop_circuit = inputs->stop_circuit;
        lines_forget(inputs);
        inputs->stop_circuit = stop_circuit;
    }
    composite->seen = *inputs;
}

static void composite_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    struct composite *composite = port;
    for (unsigned i = 0; i < composite->parts; i++) {
        composite->part[i].ops->act(composite->part[i].port, now_us, outputs);
    }
}

static uint32_t composite_wake_us(const void *port) {
    const struct composite *composite = port;
    uint32_t wake_us = UINT32_MAX;
    for (unsigned i = 0; i < composite->parts; i++) {
        const struct part *part = &composite->part[i];
        uint32_t part_us = part->ops->wake_us(part->port);
        wake_us = part_us < wake_us ? part_us : wake_us;
        if (part->setup.stale_us != 0 && part->setup.stale_us < wake_us) {
            wake_us = part->setup.stale_us;
        }
    }
    return wake_us;
}

/* ---- the end */

static bool are_safe(const struct composite *composite) {
    bool are_safe = true;
    for (unsigned i = 0; i < composite->parts; i++) {
        are_safe = are_safe && composite->part[i].is_safe;
    }
    return are_safe;
}

/* Local outputs before those that lie behind a network: nothing local may wait for a server. */
static bool composite_safe(void *port) {
    struct composite *composite = port;
    for (int is_remote = 0; is_remote <= 1; is_remote++) {
        for (unsigned i = 0; i < composite->parts; i++) {
            struct part *part = &composite->part[i];
            if ((part->ops->settle != NULL) == is_remote) {
                part->is_safe = part->ops->safe(part->port);
                part->is_over = !is_remote;
            }
        }
    }
    return are_safe(composite);
}

/* Each for a moment in turn, so that one which hangs leaves time to the others. A part that answers
 * before its moment has passed has said its last word. */
static bool composite_settle(void *port, uint32_t within_us) {
    enum { MOMENT_US = 20000 };
    struct composite *composite = port;
    struct time_limit limit = time_limit_in(within_us);
    uint32_t left_us = within_us;
    bool is_over;
    do {
        is_over = true;
        for (unsigned i = 0; i < composite->parts; i++) {
            struct part *part = &composite->part[i];
            uint32_t moment_us = left_us < MOMENT_US ? left_us : MOMENT_US;
            if (!part->is_over) {
                part->is_safe = part->ops->settle(part->port, moment_us);
                uint32_t now_left_us = time_limit_left_us(&limit);
                part->is_over = part->is_safe || left_us - now_left_us < moment_us;
                left_us = now_left_us;
            }
            is_over = is_over && part->is_over;
        }
    } while (!is_over && left_us > 0);
    return are_safe(composite);
}

static void composite_crash_safe(void *port) {
    struct composite *composite = port;
    for (unsigned i = 0; i < composite->parts; i++) {
        if (composite->part[i].ops->crash_safe != NULL) {
            composite->part[i].ops->crash_safe(composite->part[i].port);
        }
    }
}

/* A bridge has at most one simulated world. */
static const struct part *talking_part(const struct composite *composite) {
    for (unsigned i = 0; i < composite->parts; i++) {
        if (composite->part[i].ops->simulate != NULL) {
            return &composite->part[i];
        }
    }
    return NULL;
}

static bool no_world(struct error *error) {
    return error_set(error, where, "this output has no simulated part");
}

static bool composite_simulate(void *port, const char *words, struct error *error) {
    const struct part *part = talking_part(port);
    return part != NULL ? part->ops->simulate(part->port, words, error) : no_world(error);
}

static bool composite_would_simulate(const void *port, const char *words, struct error *error) {
    const struct part *part = talking_part(port);
    return part != NULL ? part->ops->would_simulate(part->port, words, error) : no_world(error);
}

static const char *composite_news(void *port) {
    const struct part *part = talking_part(port);
    return part == NULL || part->ops->news == NULL ? NULL : part->ops->news(part->port);
}

const struct port_ops composite_ops = {
    .name = "composite",
    .can_run_dry = true,
    .open = composite_open,
    .sense = composite_sense,
    .act = composite_act,
    .wake_us = composite_wake_us,
    .safe = composite_safe,
    .settle = composite_settle,
    .crash_safe = composite_crash_safe,
    .close = composite_close,
    .simulate = composite_simulate,
    .would_simulate = composite_would_simulate,
    .news = composite_news,
};
