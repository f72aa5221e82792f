#include "tools/drawtender/lcc/event_list.h"

#include <stdio.h>
#include <string.h>

bool event_list_read(const char *file, struct config *config, struct config_report *complaints,
                     struct error *error) {
    if (config_read_file(file, config, complaints)) {
        return true;
    }
    const struct error *first = &complaints->errors.complaint[0];
    return error_set(error, "", "%.100s: %.60s: %.140s", file, first->where, first->what);
}

struct walk {
    void (*take)(void *context, const struct event_row *row);
    void *context;
    const char *bridge;
};

static void tell(const struct walk *walk, const char *name, const char *use, uint64_t event) {
    walk->take(walk->context, &(struct event_row){walk->bridge, name, use, event});
}

static void tell_pairs(const struct walk *walk, const struct lcc_line_setup *pair, unsigned count,
                       const char *use) {
    for (unsigned i = 0; i < count; i++) {
        for (unsigned is_on = 2; is_on-- > 0;) {
            tell(walk, pair[i].name[is_on], use, pair[i].event[is_on]);
        }
    }
}

static void tell_bridge(const struct walk *walk, const struct lcc_bridge_setup *lcc) {
    for (unsigned i = 0; i < lcc->states; i++) {
        for (unsigned is_so = 2; is_so-- > 0;) {
            tell(walk, lcc->state[i].name[is_so], "told", lcc->state[i].event[is_so]);
        }
    }
    for (unsigned i = 0; i < lcc->requests; i++) {
        tell(walk, lcc->request[i].name, "heard", lcc->request[i].event);
    }
    tell_pairs(walk, lcc->command, lcc->commands, "sent");
    tell_pairs(walk, lcc->point, lcc->points, "read");
}

unsigned event_list_each(const struct config *config,
                         void (*take)(void *context, const struct event_row *row), void *context) {
    unsigned nodes = 0;
    for (unsigned i = 0; i < config->net.bridges; i++) {
        if (config->lcc.bridge[i].node != 0) {
            const struct walk walk = {take, context, config->net.bridge[i].name};
            tell_bridge(&walk, &config->lcc.bridge[i]);
            nodes++;
        }
    }
    return nodes;
}

/* ---- what one event is called */

struct wanted {
    uint64_t event;
    char *out;
    size_t size;
};

static void take_if_wanted(void *context, const struct event_row *row) {
    const struct wanted *wanted = context;
    size_t used = strlen(wanted->out);
    if (row->event == wanted->event) {
        snprintf(wanted->out + used, wanted->size - used, "%s%s: %s", used > 0 ? ", " : "",
                 row->bridge, row->name);
    }
}

void event_list_name(const struct config *config, uint64_t event, char *out, size_t size) {
    struct wanted wanted = {event, out, size};
    out[0] = '\0';
    event_list_each(config, take_if_wanted, &wanted);
}
