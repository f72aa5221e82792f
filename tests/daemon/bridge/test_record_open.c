/* What the record is told of the daemon's bridges: as the configuration has them. */
#include "bridge/record.h"
#include "records/store.h"
#include "support/check.h"
#include "support/core/puppet.h"
#include "support/records/records_feed.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

static char path[RECORD_FILE_SIZE];

static struct net_bridge_setup bridge_named(const char *name, unsigned bus, const char *unit) {
    struct net_bridge_setup bridge = {.bus = bus,
                                      .setup = puppet_setup(),
                                      .track_name = {"main"},
                                      .end_name = {{"west", "east"}},
                                      .travel = 10.0 * bus};
    snprintf(bridge.name, sizeof bridge.name, "%s", name);
    snprintf(bridge.travel_unit, sizeof bridge.travel_unit, "%s", unit);
    return bridge;
}

/* Kettle Narrows and a lift bridge beside it, whose record is written five times a second. */
static struct config *two_bridges(void) {
    struct config *config = calloc(1, sizeof *config);
    assert_non_null(config);
    config->net.bridges = 2;
    config->net.bridge[0] = bridge_named("Kettle Narrows", 1, "deg");
    config->net.bridge[1] = bridge_named("Marsh Cut", 2, "mm");
    config->record = records_feed_setup(path);
    config->record.write_us = 200000;
    return config;
}

static struct recorder *open_record(const struct config *config) {
    struct error error = {.what = ""};
    struct recorder *recorder = record_open(config, "9.8", RECORDS_FEED_BEGIN_US, &error);
    if (recorder == NULL) {
        fail_msg("%s: %s", error.where, error.what);
    }
    return recorder;
}

/* A train stands before the second bridge's east signal. */
static void let_a_train_wait(struct recorder *recorder) {
    static const struct bridge_request none = {.kind = REQUEST_NONE};
    struct bridge_view before = {.state = {.phase = PHASE_OPEN}};
    struct bridge_view after = before;
    before.inputs.track[0].end[0].approach_clear = LEVEL_ON;
    before.inputs.track[0].end[1].approach_clear = LEVEL_ON;
    after.inputs.track[0].end[0].approach_clear = LEVEL_ON;
    after.inputs.track[0].end[1].approach_clear = LEVEL_OFF;
    const struct recorder_step step = {.at_us = RECORDS_FEED_BEGIN_US + 1000,
                                       .dt_us = 1000,
                                       .request = &none,
                                       .before = &before,
                                       .after = &after};
    recorder_take(recorder, 1, &step);
}

static void each_bridge_is_recorded_as_it_is_configured(void **state) {
    (void)state;
    static const char *const ones[] = {
        "SELECT count(*) FROM run WHERE version = '9.8'",
        "SELECT count(*) FROM bridge WHERE name = 'Kettle Narrows' AND bus = 1 AND travel = 10 AND"
        " unit = 'deg'",
        "SELECT count(*) FROM bridge WHERE name = 'Marsh Cut' AND bus = 2 AND travel = 20 AND"
        " unit = 'mm'",
        "SELECT count(*) FROM event JOIN bridge ON bridge.id = event.bridge WHERE"
        " kind = 'train-waits' AND what = 'main.east' AND name = 'Marsh Cut'",
    };
    records_feed_file(path);
    struct config *config = two_bridges();
    struct recorder *recorder = open_record(config);
    let_a_train_wait(recorder);
    recorder_free(recorder);
    struct store store;
    struct error error = {.what = ""};
    if (!store_open(&store, path, &error)) {
        fail_msg("%s", error.what);
    }
    for (size_t i = 0; i < sizeof ones / sizeof ones[0]; i++) {
        if (records_feed_number(&store, ones[i]) != 1) {
            fail_msg("not one: %s", ones[i]);
        }
    }
    store_close(&store);
    free(config);
    records_feed_forget(path);
}

/* Waits until this many items are in the file. */
static void await_written(const struct recorder *recorder, uint64_t items) {
    while (recorder_written(recorder) < items) {
        usleep(1000);
    }
}

/* Nothing urgent comes, and nobody ends it: it is written all the same, the first item at once, the
 * second when its time has come. Were microseconds taken for milliseconds, the test would have been
 * ended for hanging. */
static void it_is_written_as_often_as_it_is_configured(void **state) {
    (void)state;
    records_feed_file(path);
    struct config *config = two_bridges();
    struct recorder *recorder = open_record(config);
    let_a_train_wait(recorder);
    await_written(recorder, 1);
    let_a_train_wait(recorder);
    await_written(recorder, 2);
    recorder_free(recorder);
    free(config);
    records_feed_forget(path);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_bridge_is_recorded_as_it_is_configured),
        cmocka_unit_test(it_is_written_as_often_as_it_is_configured),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
