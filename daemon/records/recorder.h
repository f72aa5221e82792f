/* recorder.h: keeps the record of a running daemon. The control loop copies what happened into a
 * bounded queue and goes on; a thread of its own writes it, a transaction at a time: now and then,
 * and at once with a fault, a stop or a refusal, which a death or a loss of power may follow. The
 * loop never waits: if the queue is full or the file cannot be written, that part of the record is
 * missing, the log says so once, and the record says so where it goes on. */
#ifndef RECORDS_RECORDER_H
#define RECORDS_RECORDER_H

#include "base/error.h"
#include "core/data/request.h"
#include "core/data/view.h"
#include "records/recorder_bridge.h"
#include "records/setup.h"

#include <stdbool.h>
#include <stdint.h>

struct recorder;

/* How the writer goes about it. */
struct recorder_pace {
    unsigned room;     /* of the queue, items for each bridge: a power of two */
    unsigned poll_ms;  /* it looks into the queue this often, where nothing is urgent */
    unsigned write_ms; /* and writes what has come at least this often */
    unsigned retry_ms; /* tries again to open a file that it could not */
};

/* 512 items, 1.4 MB a bridge: 5 s of a moving one, while a memory card sleeps; 100 ms, 400 ms, 5 s:
 * together below a second, of what is not urgent. */
extern const struct recorder_pace recorder_pace_usual;

/* Everything is copied. `version` is the daemon's, `now_us` layout time of day. The file is opened
 * by the thread: one that cannot be is a warning. Returns NULL and fills `error` where another
 * process writes it (records/writer_lock.h), or where there is no thread or memory to be had. */
struct recorder *recorder_new(const struct record_setup *setup,
                              const struct recorder_bridge *bridge, unsigned bridges,
                              const struct recorder_pace *pace, const char *version,
                              uint64_t now_us, struct error *error);

/* Writes what is left, and ends. NULL is taken. */
void recorder_free(struct recorder *recorder);

/* The rest may be called by one thread only, and with NULL: then nothing is kept. */

/* One call of bridge_step(): what it was given and gave. */
struct recorder_step {
    uint64_t at_us;
    uint32_t dt_us;
    const struct bridge_request *request;
    enum bridge_answer answer;
    int32_t who; /* the session that asks; 0: none */
    const struct bridge_view *before;
    const struct bridge_view *after;
};
void recorder_take(struct recorder *recorder, unsigned bridge, const struct recorder_step *step);

void recorder_session(struct recorder *recorder, uint64_t at_us, int32_t id, bool begins,
                      const char *words);
void recorder_news(struct recorder *recorder, uint64_t at_us, unsigned bridge, const char *words);

/* For tests: items that are in the file for good. */
uint64_t recorder_written(const struct recorder *recorder);

#endif
