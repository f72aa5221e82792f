#include "records/batch.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void batch_init(struct batch *batch, const struct recorder_bridge *bridge, unsigned bridges) {
    memset(batch, 0, sizeof *batch);
    batch->bridges = bridges;
    for (unsigned i = 0; i < bridges; i++) {
        batch->bridge[i].about = &bridge[i];
    }
}

void batch_free(struct batch *batch) {
    for (unsigned i = 0; i < batch->bridges; i++) {
        step_writer_free(&batch->bridge[i].steps);
        pack_free(&batch->bridge[i].trace.pack);
    }
    free(batch->event);
}

static void add_event(void *context, const struct event *event) {
    struct batch *batch = context;
    if (batch->events == batch->room) {
        size_t room = batch->room > 0 ? 2 * batch->room : 64;
        struct event *grown = realloc(batch->event, room * sizeof *grown);
        if (grown == NULL) {
            batch->lost++;
            return;
        }
        batch->event = grown;
        batch->room = room;
    }
    batch->event[batch->events++] = *event;
}

static void take_step(struct batch_bridge *bridge, const struct item *item) {
    const struct item_step *step = &item->step;
    if (bridge->steps.count == 0) {
        step_writer_begin(&bridge->steps, &step->before);
        bridge->first = step->serial;
        bridge->began_us = item->at_us;
    }
    const struct kept_step kept = {.dt_us = step->dt_us,
                                   .request = step->request,
                                   .answer = step->answer,
                                   .inputs = step->after.inputs,
                                   .outputs = step->after.outputs};
    step_writer_add(&bridge->steps, &kept);
    bridge->last = step->serial;
    bridge->ended_us = item->at_us;
    trace_step(&bridge->trace, item->at_us, &step->after);
}

bool batch_take(struct batch *batch, const struct item *item) {
    struct batch_bridge *bridge = &batch->bridge[item->bridge];
    if (item->kind == ITEM_STEP) {
        if (bridge->steps.count > 0 && item->step.serial != bridge->last + 1) {
            return false;
        }
        take_step(bridge, item);
    }
    const struct event_sink sink = {.context = batch, .take = add_event};
    event_find(&bridge->about->setup, &bridge->about->places, &bridge->memory, item, &sink);
    batch->items++;
    batch->is_urgent |= item->is_urgent;
    batch->newest_us = item->at_us > batch->newest_us ? item->at_us : batch->newest_us;
    return true;
}

static bool write_bridge(const struct batch_bridge *bridge, int64_t row, struct store *store,
                         struct error *error) {
    const struct step_writer *steps = &bridge->steps;
    const struct trace_writer *trace = &bridge->trace;
    if (steps->count > 0 &&
        !store_do(store, error,
                  "INSERT INTO steps (bridge, first, count, began_us, ended_us, data)"
                  " VALUES (?, ?, ?, ?, ?, ?)",
                  "iiiiib", row, (int64_t)bridge->first, (int64_t)steps->count,
                  (int64_t)bridge->began_us, (int64_t)bridge->ended_us, &steps->pack)) {
        return false;
    }
    return trace->count == 0 ||
           store_do(store, error,
                    "INSERT INTO trace (bridge, began_us, ended_us, data) VALUES (?, ?, ?, ?)",
                    "iiib", row, (int64_t)trace->began_us, (int64_t)trace->last_us, &trace->pack);
}

static bool write_lost(const struct batch *batch, struct store *store, int64_t run,
                       struct error *error) {
    struct event event = {.kind = EVENT_LOST,
                          .bridge = EVENT_NO_BRIDGE,
                          .at_us = batch->newest_us,
                          .position_frac = NAN};
    snprintf(event.words, sizeof event.words, "%" PRIu64 " steps or messages before this were lost",
             batch->lost);
    return batch->lost == 0 || store_add_event(store, run, 0, &event, error);
}

static bool write_all(const struct batch *batch, struct store *store, const struct batch_rows *rows,
                      struct error *error) {
    if (!write_lost(batch, store, rows->run, error)) {
        return false;
    }
    for (size_t i = 0; i < batch->events; i++) {
        const struct event *event = &batch->event[i];
        int64_t bridge = event->bridge == EVENT_NO_BRIDGE ? 0 : rows->bridge[event->bridge];
        if (!store_add_event(store, rows->run, bridge, event, error)) {
            return false;
        }
    }
    for (unsigned i = 0; i < batch->bridges; i++) {
        if (!write_bridge(&batch->bridge[i], rows->bridge[i], store, error)) {
            return false;
        }
    }
    return true;
}

bool batch_write(const struct batch *batch, struct store *store, const struct batch_rows *rows,
                 struct error *error) {
    if (!store_begin(store, batch->is_urgent ? STORE_ON_DISK : STORE_WITH_SYSTEM, error)) {
        return false;
    }
    if (write_all(batch, store, rows, error) && store_commit(store, error)) {
        return true;
    }
    store_roll_back(store);
    return false;
}

void batch_clear(struct batch *batch) {
    for (unsigned i = 0; i < batch->bridges; i++) {
        batch->bridge[i].steps.count = 0;
        trace_clear(&batch->bridge[i].trace);
    }
    batch->events = 0;
    batch->items = 0;
    batch->is_urgent = false;
}
