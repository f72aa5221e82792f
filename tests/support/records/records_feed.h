/* records_feed.h: the simulated Kettle Narrows drawbridge with a recorder that watches, in time of
 * the test's own; and record files in a folder that goes away again. */
#ifndef SUPPORT_RECORDS_FEED_H
#define SUPPORT_RECORDS_FEED_H

#include "records/recorder.h"
#include "records/store.h"
#include "support/io/sim_world.h"

#include <stdbool.h>

/* Writes as soon as anything is there. */
extern const struct recorder_pace records_feed_pace;

/* Its times begin here: 2026-03-01 12:00:00 UTC. */
#define RECORDS_FEED_BEGIN_US UINT64_C(1772366400000000)

struct records_feed {
    struct sim_world world;
    struct recorder *recorder;
    int32_t who;   /* asks */
    bool is_hasty; /* does not wait for a ring that fills: a feed is faster than any bridge */
    uint64_t taken;
};

/* The path of a file in a new folder; records_feed_forget() takes both away. */
void records_feed_file(char path[RECORD_FILE_SIZE]);
void records_feed_forget(const char *path);

struct record_setup records_feed_setup(const char *path);
struct recorder_bridge records_feed_bridge(const struct bridge_setup *setup);

/* Writes nothing, unless it is woken, before a test has hung for so long that it is ended. */
extern const struct recorder_pace records_feed_asleep;

/* The world with the recorder; ends it, with all written. */
void records_feed_start(struct records_feed *feed, const struct record_setup *setup);
void records_feed_start_at(struct records_feed *feed, const struct record_setup *setup,
                           const struct recorder_pace *pace);
void records_feed_end(struct records_feed *feed);

/* One cycle with a request, as the daemon does it. */
enum bridge_answer records_feed_ask(struct records_feed *feed, enum bridge_request_kind kind);
void records_feed_tell(struct records_feed *feed, const char *words); /* to the world */
void records_feed_run_for(struct records_feed *feed, uint64_t time_us);
bool records_feed_run_to(struct records_feed *feed, enum bridge_phase phase, uint64_t limit_us);

/* The only number that a query gives. */
int64_t records_feed_number(struct store *store, const char *sql);

#endif
