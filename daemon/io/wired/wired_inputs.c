#include "io/wired/wired_inputs.h"

#include "base/log.h"
#include "core/timing.h"
#include "core/words/lines.h"
#include "io/wired/time_left.h"

#include <event2/event.h>
#include <string.h>

static const struct wired_chip *chip_of(const struct wired_inputs *inputs,
                                        const struct wired_group *group) {
    return &inputs->setup->chip[group->chip];
}

/* ---- opening */

static struct wired_pin_place place_pin(struct wired_inputs *inputs, const struct wired_pin *pin) {
    unsigned g = 0;
    while (g < inputs->groups &&
           (inputs->group[g].chip != pin->chip || inputs->group[g].pull != pin->pull ||
            inputs->group[g].lines == GPIO_LINES_MAX)) {
        g++;
    }
    struct wired_group *group = &inputs->group[g];
    if (g == inputs->groups) {
        group->chip = pin->chip;
        group->pull = pin->pull;
        inputs->groups++;
    }
    group->offset[group->lines] = pin->offset;
    return (struct wired_pin_place){.group = g, .line = group->lines++};
}

static void place_all(struct wired_inputs *inputs) {
    for (unsigned i = 0; i < inputs->setup->inputs; i++) {
        const struct wired_input *input = &inputs->setup->input[i];
        inputs->first[i] = place_pin(inputs, &input->pin);
        if (input->second.is_used) {
            inputs->second[i] = place_pin(inputs, &input->second);
        }
    }
}

static bool hear_edges(struct wired_group *group) {
    for (unsigned l = 0; l < group->lines; l++) {
        bool is_heard = group->edge[l] != NULL && !group->limit[l].is_storm;
        if (is_heard && event_add(group->edge[l], NULL) != 0) {
            return false;
        }
    }
    return true;
}

/* What is readable but cannot be read would be readable for ever: it is left alone for a while. */
static void fall_deaf(struct wired_inputs *inputs, struct wired_group *group) {
    if (!group->is_deaf) {
        log_line(LOG_ERROR, "%s: edges cannot be read", chip_of(inputs, group)->name);
    }
    group->is_newly_deaf = group->is_deaf = true;
    group->is_known = false;
    for (unsigned l = 0; l < group->lines; l++) {
        event_del(group->edge[l]);
    }
}

/* ---- edges */

static void quieten(struct wired_inputs *inputs, struct wired_group *group, unsigned l) {
    log_line(LOG_ERROR,
             "%s line %u: %u edges in a second: no reading until it has been quiet for a second",
             chip_of(inputs, group)->name, group->offset[l], group->limit[l].edges);
    edge_limit_begin_storm(&group->limit[l]);
    event_del(group->edge[l]);
}

/* All lines together have too many: the one with the most gives way. */
static void quieten_busiest(struct wired_inputs *inputs, uint64_t at_us) {
    struct wired_group *busiest = NULL;
    unsigned line = 0, most = 0;
    for (unsigned g = 0; g < inputs->groups; g++) {
        struct wired_group *group = &inputs->group[g];
        for (unsigned l = 0; l < group->lines; l++) {
            unsigned edges = edge_limit_recent(&group->limit[l], at_us);
            if (!group->limit[l].is_storm && edges > most) {
                busiest = group;
                line = l;
                most = edges;
            }
        }
    }
    inputs->all.edges = 0;
    if (busiest != NULL) {
        quieten(inputs, busiest, line);
    }
}

static void take_line(struct wired_inputs *inputs, struct wired_group *group, unsigned l) {
    struct gpio_edge edges[16];
    int taken = inputs->gpio->take_edges(group->handle, l, edges, 16);
    for (int e = 0; e < taken; e++) {
        group->was_low[l] = group->was_low[l] || !edges[e].level;
        group->was_high[l] = group->was_high[l] || edges[e].level;
    }
    if (taken < 0) {
        fall_deaf(inputs, group);
    } else if (taken > 0) {
        uint64_t at_us = edges[taken - 1].at_us;
        unsigned count = (unsigned)taken;
        bool are_too_many = edge_limit_is_over(&inputs->all, count, EDGE_LIMIT_ALL, at_us);
        if (edge_limit_is_over(&group->limit[l], count, EDGE_LIMIT_LINE, at_us)) {
            quieten(inputs, group, l);
        } else if (are_too_many) {
            quieten_busiest(inputs, at_us);
        }
    }
}

static void on_edge(evutil_socket_t fd, short what, void *context) {
    struct wired_inputs *inputs = context;
    (void)what;
    for (unsigned g = 0; g < inputs->groups; g++) {
        struct wired_group *group = &inputs->group[g];
        for (unsigned l = 0; l < group->lines; l++) {
            if (group->edge[l] != NULL && event_get_fd(group->edge[l]) == fd) {
                take_line(inputs, group, l);
            }
        }
    }
    inputs->host->changed(inputs->host->context);
}

static bool watch_edges(struct wired_inputs *inputs, struct wired_group *group,
                        struct error *error) {
    for (unsigned l = 0; l < group->lines; l++) {
        group->edge[l] = event_new(inputs->host->base, inputs->gpio->edge_fd(group->handle, l),
                                   EV_READ | EV_PERSIST, on_edge, inputs);
        if (group->edge[l] == NULL) {
            return error_set(error, chip_of(inputs, group)->name, "cannot create an event");
        }
        event_priority_set(group->edge[l], 0);
    }
    return hear_edges(group) ||
           error_set(error, chip_of(inputs, group)->name, "its edges cannot be waited for");
}

static bool open_group(struct wired_inputs *inputs, struct wired_group *group,
                       struct error *error) {
    const struct wired_chip *chip = chip_of(inputs, group);
    bool has_edges = chip->poll_us == 0;
    group->handle = inputs->gpio->open_inputs(chip->device, group->offset, group->lines,
                                              group->pull, has_edges, error);
    return group->handle != NULL && (!has_edges || watch_edges(inputs, group, error));
}

bool wired_inputs_open(struct wired_inputs *inputs, const struct wired_setup *setup,
                       const struct gpio_ops *gpio, const struct port_host *host,
                       struct error *error) {
    memset(inputs, 0, sizeof *inputs);
    inputs->setup = setup;
    inputs->gpio = gpio;
    inputs->host = host;
    place_all(inputs);
    for (unsigned g = 0; g < inputs->groups; g++) {
        if (!open_group(inputs, &inputs->group[g], error)) {
            wired_inputs_close(inputs);
            return false;
        }
    }
    return true;
}

/* ---- reading */

/* Lines with edges that cannot be read are tried again this often. */
enum { RETRY_US = 1000000 };

static bool is_due(const struct wired_inputs *inputs, const struct wired_group *group,
                   uint64_t now_us) {
    if (group->is_deaf) {
        return now_us - group->read_us >= RETRY_US;
    }
    return !inputs->was_read || now_us - group->read_us >= chip_of(inputs, group)->poll_us;
}

static void read_group(struct wired_inputs *inputs, struct wired_group *group, uint64_t now_us) {
    struct error error;
    bool was_known = group->is_known;
    group->is_known = inputs->gpio->read(group->handle, group->level, &error);
    group->read_us = now_us;
    if (!group->is_known && (was_known || !inputs->was_read)) {
        log_line(LOG_ERROR, "%s: cannot be read: %s", chip_of(inputs, group)->name, error.what);
    }
    if (group->is_deaf) {
        group->is_deaf = !hear_edges(group);
        group->is_known = group->is_known && !group->is_deaf;
    }
}

/* What waits is taken and thrown away: it may be as old as the storm. */
static void look_for_quiet(struct wired_inputs *inputs, struct wired_group *group, unsigned l,
                           uint64_t now_us) {
    struct gpio_edge edges[16];
    int taken, rounds = 0;
    unsigned found = 0;
    do {
        taken = inputs->gpio->take_edges(group->handle, l, edges, 16);
        found += taken != 0;
    } while (taken > 0 && ++rounds < 4);
    edge_limit_looked(&group->limit[l], found, now_us);
    group->was_low[l] = group->was_high[l] = false;
    if (taken < 0 || (found == 0 && !group->is_deaf && event_add(group->edge[l], NULL) != 0)) {
        fall_deaf(inputs, group);
    } else if (found == 0) {
        log_line(LOG_NOTICE, "%s line %u: quiet again", chip_of(inputs, group)->name,
                 group->offset[l]);
    }
}

static void look_for_quiet_everywhere(struct wired_inputs *inputs, uint64_t now_us) {
    for (unsigned g = 0; g < inputs->groups; g++) {
        for (unsigned l = 0; l < inputs->group[g].lines; l++) {
            if (edge_limit_is_due(&inputs->group[g].limit[l], now_us)) {
                look_for_quiet(inputs, &inputs->group[g], l, now_us);
            }
        }
    }
}

static enum level level_of(struct wired_inputs *inputs, const struct wired_pin *pin,
                           struct wired_pin_place at) {
    struct wired_group *group = &inputs->group[at.group];
    if (!group->is_known || group->limit[at.line].is_storm) {
        return LEVEL_UNKNOWN;
    }
    bool *was_off = pin->is_active_low ? group->was_high : group->was_low;
    bool is_on = group->level[at.line] != pin->is_active_low;
    bool is_glimpsed = is_on && was_off[at.line];
    group->was_low[at.line] = false;
    group->was_high[at.line] = false;
    inputs->is_glimpsed = inputs->is_glimpsed || is_glimpsed;
    return is_on && !is_glimpsed ? LEVEL_ON : LEVEL_OFF;
}

/* Off while they differ, and after too long of that no reading. */
static enum level agree(struct wired_inputs *inputs, unsigned i, enum level one, enum level other,
                        uint64_t now_us) {
    if (one == LEVEL_UNKNOWN || other == LEVEL_UNKNOWN) {
        return LEVEL_UNKNOWN;
    }
    if (one == other) {
        inputs->differ[i] = false;
        return one;
    }
    if (!inputs->differ[i]) {
        inputs->differ[i] = true;
        inputs->differ_us[i] = now_us;
    }
    return now_us - inputs->differ_us[i] >= inputs->setup->input[i].differ_us ? LEVEL_UNKNOWN
                                                                              : LEVEL_OFF;
}

void wired_inputs_read(struct wired_inputs *inputs, uint64_t now_us, enum level level[]) {
    look_for_quiet_everywhere(inputs, now_us);
    for (unsigned g = 0; g < inputs->groups; g++) {
        struct wired_group *group = &inputs->group[g];
        if (group->is_newly_deaf) {
            group->is_newly_deaf = false;
            group->read_us = now_us; /* from here on it is left alone */
        } else if (is_due(inputs, group, now_us)) {
            read_group(inputs, group, now_us);
        }
    }
    inputs->was_read = true;
    inputs->is_glimpsed = false;
    for (unsigned i = 0; i < inputs->setup->inputs; i++) {
        const struct wired_input *input = &inputs->setup->input[i];
        level[i] = level_of(inputs, &input->pin, inputs->first[i]);
        if (input->second.is_used) {
            level[i] = agree(inputs, i, level[i],
                             level_of(inputs, &input->second, inputs->second[i]), now_us);
        }
    }
}

void wired_inputs_sense(struct wired_inputs *inputs, uint64_t now_us, struct bridge_inputs *out) {
    enum level level[WIRED_INPUTS_MAX];
    wired_inputs_read(inputs, now_us, level);
    for (unsigned i = 0; i < inputs->setup->inputs; i++) {
        *lines_level(out, inputs->setup->input[i].line) = level[i];
    }
}

/* ---- when again */

uint32_t wired_inputs_wake_us(const struct wired_inputs *inputs, uint64_t now_us) {
    uint32_t wake_us = inputs->is_glimpsed ? 0 : UINT32_MAX;
    for (unsigned g = 0; g < inputs->groups; g++) {
        const struct wired_group *group = &inputs->group[g];
        uint32_t poll_us = chip_of(inputs, group)->poll_us;
        if (poll_us > 0 || !group->is_known) {
            wake_us = sooner_us(
                wake_us, time_left_us(group->read_us, poll_us > 0 ? poll_us : RETRY_US, now_us));
        }
        for (unsigned l = 0; l < group->lines; l++) {
            wake_us = sooner_us(wake_us, edge_limit_wake_us(&group->limit[l], now_us));
        }
    }
    for (unsigned i = 0; i < inputs->setup->inputs; i++) {
        uint32_t left =
            time_left_us(inputs->differ_us[i], inputs->setup->input[i].differ_us, now_us);
        if (inputs->differ[i] && left > 0) {
            wake_us = sooner_us(wake_us, left);
        }
    }
    return wake_us;
}

uint64_t wired_inputs_fresh_us(const struct wired_inputs *inputs, uint64_t now_us) {
    uint64_t fresh_us = now_us;
    for (unsigned g = 0; g < inputs->groups; g++) {
        const struct wired_group *group = &inputs->group[g];
        if (chip_of(inputs, group)->poll_us > 0 && group->read_us < fresh_us) {
            fresh_us = group->read_us;
        }
    }
    return fresh_us;
}

void wired_inputs_close(struct wired_inputs *inputs) {
    for (unsigned g = 0; g < inputs->groups; g++) {
        struct wired_group *group = &inputs->group[g];
        for (unsigned l = 0; l < group->lines; l++) {
            if (group->edge[l] != NULL) {
                event_free(group->edge[l]);
                group->edge[l] = NULL;
            }
        }
        if (group->handle != NULL) {
            inputs->gpio->close(group->handle);
            group->handle = NULL;
        }
    }
}
