#include "support/records/records_feed.h"

#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

const struct recorder_pace records_feed_pace = {
    .room = 2048, .poll_ms = 1, .write_ms = 1, .retry_ms = 1};
const struct recorder_pace records_feed_asleep = {
    .room = 2048, .poll_ms = 86400000, .write_ms = 86400000, .retry_ms = 1};

void records_feed_file(char path[RECORD_FILE_SIZE]) {
    char folder[] = "/tmp/drawtender-record-XXXXXX";
    assert_non_null(mkdtemp(folder));
    snprintf(path, RECORD_FILE_SIZE, "%s/record.db", folder);
}

void records_feed_forget(const char *path) {
    static const char *const ends[] = {"", "-wal", "-shm", "-journal", "-lock"};
    char name[RECORD_FILE_SIZE + 16];
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        snprintf(name, sizeof name, "%s%s", path, ends[i]);
        unlink(name);
    }
    snprintf(name, sizeof name, "%s", path);
    *strrchr(name, '/') = '\0';
    rmdir(name);
}

struct record_setup records_feed_setup(const char *path) {
    struct record_setup setup = {.keep_us = UINT64_C(90) * 86400 * 1000000,
                                 .most_bytes = 200 << 20,
                                 .service_openings = 100};
    snprintf(setup.file, sizeof setup.file, "%s", path);
    return setup;
}

struct recorder_bridge records_feed_bridge(const struct bridge_setup *setup) {
    struct recorder_bridge bridge = {
        .name = "Kettle Narrows", .bus = 1, .travel = 70, .unit = "deg", .setup = *setup};
    snprintf(bridge.places.end[0][0], EVENT_WHAT_SIZE, "main.west");
    snprintf(bridge.places.end[0][1], EVENT_WHAT_SIZE, "main.east");
    return bridge;
}

void records_feed_start(struct records_feed *feed, const struct record_setup *setup) {
    records_feed_start_at(feed, setup, &records_feed_pace);
}

void records_feed_start_at(struct records_feed *feed, const struct record_setup *setup,
                           const struct recorder_pace *pace) {
    struct bridge_setup bridge = sim_world_bridge();
    struct simulation_setup simulation = sim_world_simulation();
    memset(feed, 0, sizeof *feed);
    sim_world_start(&feed->world, &bridge, &simulation);
    struct recorder_bridge about = records_feed_bridge(&bridge);
    struct error error = {.what = ""};
    feed->recorder = recorder_new(setup, &about, 1, pace, "0.0", RECORDS_FEED_BEGIN_US, &error);
    assert_string_equal(error.what, "");
    assert_non_null(feed->recorder);
}

void records_feed_end(struct records_feed *feed) {
    recorder_free(feed->recorder);
    sim_world_stop(&feed->world);
}

static void wait_for_room(struct records_feed *feed) {
    while (!feed->is_hasty &&
           feed->taken > recorder_written(feed->recorder) + records_feed_pace.room / 2) {
        usleep(100);
    }
    feed->taken++;
}

static enum bridge_answer step(struct records_feed *feed, const struct bridge_request *request,
                               uint32_t dt_us) {
    struct sim_world *world = &feed->world;
    wait_for_room(feed);
    struct bridge_view before = {world->inputs, world->state, world->outputs};
    world->ops->sense(world->port, world->now_us, &world->inputs);
    enum bridge_answer answer =
        bridge_step(&world->bridge, &world->state, &world->inputs, request, dt_us, &world->outputs);
    world->ops->act(world->port, world->now_us, &world->outputs);
    const struct bridge_view after = {world->inputs, world->state, world->outputs};
    const struct recorder_step kept = {.at_us = RECORDS_FEED_BEGIN_US + world->now_us,
                                       .dt_us = dt_us,
                                       .request = request,
                                       .answer = answer,
                                       .who = request->kind != REQUEST_NONE ? feed->who : 0,
                                       .before = &before,
                                       .after = &after};
    recorder_take(feed->recorder, 0, &kept);
    return answer;
}

static enum bridge_answer cycle(struct records_feed *feed, enum bridge_request_kind kind,
                                uint64_t wait_us) {
    struct sim_world *world = &feed->world;
    world->now_us += wait_us;
    enum bridge_phase before = world->state.phase;
    enum bridge_answer answer =
        step(feed, &(struct bridge_request){.kind = kind}, (uint32_t)wait_us);
    while (world->state.phase != before) {
        before = world->state.phase;
        step(feed, &(struct bridge_request){.kind = REQUEST_NONE}, 0);
    }
    return answer;
}

enum bridge_answer records_feed_ask(struct records_feed *feed, enum bridge_request_kind kind) {
    return cycle(feed, kind, 0);
}

void records_feed_tell(struct records_feed *feed, const char *words) {
    struct error error = {.what = ""};
    assert_true(feed->world.ops->simulate(feed->world.port, words, &error));
    cycle(feed, REQUEST_NONE, 0);
}

static void wait_and_cycle(struct records_feed *feed, uint64_t most_us) {
    struct sim_world *world = &feed->world;
    uint64_t wait_us = bridge_wake_us(&world->bridge, &world->state);
    uint64_t port_us = world->ops->wake_us(world->port);
    wait_us = port_us < wait_us ? port_us : wait_us;
    cycle(feed, REQUEST_NONE, most_us < wait_us ? most_us : wait_us);
}

void records_feed_run_for(struct records_feed *feed, uint64_t time_us) {
    uint64_t end_us = feed->world.now_us + time_us;
    while (feed->world.now_us < end_us) {
        wait_and_cycle(feed, end_us - feed->world.now_us);
    }
}

bool records_feed_run_to(struct records_feed *feed, enum bridge_phase phase, uint64_t limit_us) {
    uint64_t end_us = feed->world.now_us + limit_us;
    while (feed->world.state.phase != phase && feed->world.now_us < end_us) {
        wait_and_cycle(feed, end_us - feed->world.now_us);
    }
    return feed->world.state.phase == phase;
}

int64_t records_feed_number(struct store *store, const char *sql) {
    sqlite3_stmt *statement = NULL;
    assert_int_equal(sqlite3_prepare_v2(store->database, sql, -1, &statement, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(statement), SQLITE_ROW);
    int64_t number = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    return number;
}
