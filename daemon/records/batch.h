/* batch.h: what the writer has taken from the queue and not yet written: one transaction. */
#ifndef RECORDS_BATCH_H
#define RECORDS_BATCH_H

#include "records/codec/step_code.h"
#include "records/codec/trace.h"
#include "records/item.h"
#include "records/recorder_bridge.h"
#include "records/store.h"

struct batch_bridge {
    const struct recorder_bridge *about;
    struct event_memory memory;
    struct step_writer steps;
    struct trace_writer trace;
    uint64_t first; /* serial of the first of the steps, and of the last */
    uint64_t last;
    uint64_t began_us, ended_us; /* of them */
};

struct batch {
    unsigned bridges;
    struct batch_bridge bridge[RECORDER_BRIDGES_MAX];
    struct event *event;
    size_t events, room;
    uint64_t items;     /* taken, since the last batch_clear() */
    uint64_t lost;      /* items that are in no file, since the last that said so */
    uint64_t newest_us; /* the latest time seen */
    bool is_urgent; /* an item is: it is to be written at once, and to outlive a loss of power */
};

/* Rows of the file that this run's pieces belong to. */
struct batch_rows {
    int64_t run;
    int64_t bridge[RECORDER_BRIDGES_MAX];
};

void batch_init(struct batch *batch, const struct recorder_bridge *bridge, unsigned bridges);
void batch_free(struct batch *batch);

/* Returns false where the item cannot go on from the last, because some are missing between: then
 * the batch must be written first. */
bool batch_take(struct batch *batch, const struct item *item);

/* Writes all of it in one transaction; the batch is still there after. */
bool batch_write(const struct batch *batch, struct store *store, const struct batch_rows *rows,
                 struct error *error);

void batch_clear(struct batch *batch);

#endif
