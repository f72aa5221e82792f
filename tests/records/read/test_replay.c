/* A record runs again through bridge_step() and gives the same; what differs is shown at its step.
 */
#include "records/codec/kept.h"
#include "records/read/replay.h"
#include "support/check.h"
#include "support/records/records_feed.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char path[RECORD_FILE_SIZE];
static const struct replay_span everything = {.to_us = INT64_MAX};

static int make_file(void **state) {
    (void)state;
    records_feed_file(path);
    return 0;
}

static int forget_file(void **state) {
    (void)state;
    records_feed_forget(path);
    return 0;
}

static void record_opening(void) {
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start(&feed, &setup);
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 60000000));
    records_feed_ask(&feed, REQUEST_RAISE);
    assert_true(records_feed_run_to(&feed, PHASE_OPEN, 300000000));
    records_feed_ask(&feed, REQUEST_POWER_ON); /* refused */
    records_feed_ask(&feed, REQUEST_LOWER);
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 300000000));
    records_feed_end(&feed);
}

static void record_fault(void) {
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start(&feed, &setup);
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 60000000));
    records_feed_ask(&feed, REQUEST_RAISE);
    assert_true(records_feed_run_to(&feed, PHASE_RAISING, 300000000));
    records_feed_run_for(&feed, 5000000);
    records_feed_tell(&feed, "fault jam on");
    assert_true(records_feed_run_to(&feed, PHASE_FAULT, 60000000));
    records_feed_run_for(&feed, 300000);
    records_feed_end(&feed);
}

static void open_store(struct store *store) {
    struct error error = {.what = ""};
    if (!store_open(store, path, &error)) {
        fail_msg("%s", error.what);
    }
}

static void replay(struct store *store, const struct replay_span *span,
                   const struct replay_watcher *watcher, struct replay_result *result) {
    struct error error = {.what = ""};
    if (!replay_run(store, span, watcher, result, &error)) {
        fail_msg("%s", error.what);
    }
}

static void assert_same_again(void) {
    struct store store;
    struct replay_result result;
    open_store(&store);
    replay(&store, &everything, NULL, &result);
    assert_string_equal(result.difference.what, "");
    assert_int_equal(result.steps, records_feed_number(&store, "SELECT sum(count) FROM steps"));
    assert_true(result.steps > 300);
    assert_int_equal(result.stretches, 1);
    store_close(&store);
}

static void a_whole_opening_gives_the_same_again(void **state) {
    (void)state;
    record_opening();
    assert_same_again();
}

static void a_fault_gives_the_same_again(void **state) {
    (void)state;
    record_fault();
    assert_same_again();
}

static void any_span_can_be_run_by_itself(void **state) {
    (void)state;
    record_opening();
    struct store store;
    open_store(&store);
    uint64_t all = (uint64_t)records_feed_number(&store, "SELECT sum(count) FROM steps");
    for (uint64_t from_s = 0; from_s < 100; from_s += 9) {
        struct replay_result result;
        const struct replay_span span = {.from_us = RECORDS_FEED_BEGIN_US + from_s * 1000000,
                                         .to_us = RECORDS_FEED_BEGIN_US + (from_s + 5) * 1000000};
        replay(&store, &span, NULL, &result);
        assert_string_equal(result.difference.what, "");
        assert_true(result.steps < all);
    }
    const struct replay_span elsewhere = {.bus = 2, .to_us = INT64_MAX};
    struct replay_result result;
    replay(&store, &elsewhere, NULL, &result);
    assert_int_equal(result.steps, 0);
    store_close(&store);
}

/* --- what differs */

struct piece {
    int64_t id, first;
    struct bridge_state before;
    struct kept_step step[4096];
    unsigned steps;
};

static void read_piece(struct store *store, struct piece *piece) {
    sqlite3_stmt *statement = NULL;
    sqlite3_prepare_v2(store->database,
                       "SELECT id, first, data FROM steps WHERE count >= 20 ORDER BY id LIMIT 1"
                       " OFFSET 1",
                       -1, &statement, NULL);
    assert_int_equal(sqlite3_step(statement), SQLITE_ROW);
    piece->id = sqlite3_column_int64(statement, 0);
    piece->first = sqlite3_column_int64(statement, 1);
    struct step_reader reader;
    assert_true(step_reader_begin(&reader, sqlite3_column_blob(statement, 2),
                                  (size_t)sqlite3_column_bytes(statement, 2), &piece->before));
    for (piece->steps = 0; step_reader_next(&reader); piece->steps++) {
        assert_true(piece->steps < 4096);
        piece->step[piece->steps] = reader.step;
    }
    sqlite3_finalize(statement);
}

static void write_piece(struct store *store, const struct piece *piece, size_t cut) {
    struct step_writer writer = {.count = 0};
    struct error error = {.what = ""};
    step_writer_begin(&writer, &piece->before);
    for (unsigned i = 0; i < piece->steps; i++) {
        step_writer_add(&writer, &piece->step[i]);
    }
    writer.pack.size -= cut;
    assert_true(store_do(store, &error, "UPDATE steps SET data = ? WHERE id = ?", "bi",
                         &writer.pack, piece->id));
    step_writer_free(&writer);
}

static struct replay_difference difference_after(void (*spoil)(struct piece *piece), size_t cut,
                                                 int64_t *first, unsigned *steps) {
    static struct piece piece;
    struct store store;
    struct replay_result result;
    record_opening();
    open_store(&store);
    read_piece(&store, &piece);
    spoil(&piece);
    write_piece(&store, &piece, cut);
    replay(&store, &everything, NULL, &result);
    store_close(&store);
    *first = piece.first;
    *steps = piece.steps;
    return result.difference;
}

static void spoil_output(struct piece *piece) {
    piece->step[12].outputs.horn = !piece->step[12].outputs.horn;
}

/* Two runs at the same time of day, after a clock was set back. */
static void one_run_can_be_run_by_itself(void **state) {
    (void)state;
    record_opening();
    record_fault();
    struct store store;
    struct replay_result result;
    open_store(&store);
    struct replay_span second = everything;
    second.run = 2;
    replay(&store, &second, NULL, &result);
    assert_int_equal(result.stretches, 1);
    assert_int_equal(result.steps,
                     records_feed_number(&store,
                                         "SELECT sum(count) FROM steps JOIN bridge ON bridge.id ="
                                         " steps.bridge WHERE run = 2"));
    store_close(&store);
}

static void a_changed_output_is_shown_at_its_step(void **state) {
    (void)state;
    int64_t first;
    unsigned steps;
    struct replay_difference difference = difference_after(spoil_output, 0, &first, &steps);
    assert_int_equal(difference.serial, first + 12);
    assert_non_null(strstr(difference.what, "outputs horn: recorded"));
    assert_true(difference.at_us > RECORDS_FEED_BEGIN_US);
}

static void spoil_input(struct piece *piece) {
    piece->step[7].inputs.stop_circuit = LEVEL_OFF;
    piece->step[7].inputs.is_device_lost = true;
}

static void a_changed_input_is_shown_where_it_matters(void **state) {
    (void)state;
    int64_t first;
    unsigned steps;
    struct replay_difference difference = difference_after(spoil_input, 0, &first, &steps);
    assert_int_equal(difference.serial, first + 7);
}

static void spoil_state(struct piece *piece) {
    piece->before.openings += 5;
}

static void a_changed_state_is_shown_where_its_piece_begins(void **state) {
    (void)state;
    int64_t first;
    unsigned steps;
    struct replay_difference difference = difference_after(spoil_state, 0, &first, &steps);
    assert_int_equal(difference.serial, first);
    assert_non_null(strstr(difference.what, "state openings"));
}

static void spoil_nothing(struct piece *piece) {
    (void)piece;
}

static void a_cut_piece_is_shown_at_its_last_step(void **state) {
    (void)state;
    int64_t first;
    unsigned steps;
    struct replay_difference difference = difference_after(spoil_nothing, 1, &first, &steps);
    assert_int_equal(difference.serial, first + steps - 1);
    assert_non_null(strstr(difference.what, "corrupt"));
}

static void what_another_core_recorded_is_left_out_and_named(void **state) {
    (void)state;
    record_opening();
    record_fault(); /* a second run, in the same file */
    struct store store;
    struct replay_result result;
    struct error error = {.what = ""};
    open_store(&store);
    uint64_t second =
        (uint64_t)records_feed_number(&store, "SELECT sum(count) FROM steps WHERE bridge = 2");
    assert_true(store_do(&store, &error, "UPDATE bridge SET shapes = 1 WHERE id = 1", ""));
    assert_true(store_do(&store, &error, "UPDATE run SET version = '0.0.7' WHERE id = 1", ""));
    replay(&store, &everything, NULL, &result);
    assert_string_equal(result.difference.what, "");
    assert_int_equal(result.foreign.runs, 1);
    assert_string_equal(result.foreign.version, "0.0.7");
    assert_true(result.foreign.last_us == RECORDS_FEED_BEGIN_US);
    assert_int_equal(result.steps, second);

    assert_true(store_do(&store, &error, "UPDATE bridge SET shapes = 1", ""));
    replay(&store, &everything, NULL, &result);
    assert_int_equal(result.foreign.runs, 2);
    assert_int_equal(result.steps, 0);
    store_close(&store);
}

/* --- as text */

static void keep_begin(void *context, const char *bridge, const struct bridge_setup *setup,
                       const struct bridge_state *state) {
    kept_begin(context, bridge, setup, state);
}

static void keep_step(void *context, uint64_t at_us, const struct kept_step *step) {
    (void)at_us;
    kept_step_write(context, step);
}

static char *keep(void) {
    char *text = NULL;
    size_t size;
    struct kept_writer writer = {.out = open_memstream(&text, &size)};
    const struct replay_watcher watcher = {&writer, keep_begin, keep_step};
    struct store store;
    struct replay_result result;
    open_store(&store);
    replay(&store, &everything, &watcher, &result);
    assert_string_equal(result.difference.what, "");
    store_close(&store);
    fclose(writer.out);
    return text;
}

static bool run_text(const char *text, struct replay_result *result, struct error *error) {
    FILE *in = fmemopen((void *)(uintptr_t)text, strlen(text), "r");
    assert_non_null(in);
    bool is_read = kept_run(in, result, error);
    fclose(in);
    return is_read;
}

static void a_fault_kept_as_text_gives_the_same_again(void **state) {
    (void)state;
    record_fault();
    char *text = keep();
    struct replay_result result;
    struct error error = {.what = ""};
    assert_true(run_text(text, &result, &error));
    assert_string_equal(result.difference.what, "");
    assert_true(result.steps > 300);

    char *last = NULL; /* the fault releases the brake no more: let it */
    for (char *at = text; (at = strstr(at, "outputs brake_released 0")) != NULL; at++) {
        last = at;
    }
    assert_non_null(last);
    last[strlen("outputs brake_released ")] = '1';
    assert_true(run_text(text, &result, &error));
    assert_non_null(strstr(result.difference.what, "outputs brake_released: recorded 1, now 0"));
    assert_true(result.difference.serial > 300);
    free(text);
}

static void wrong_lines_are_named(void **state) {
    (void)state;
    static const struct {
        const char *text, *what;
    } cases[] = {
        {"something else\n", "line 1: not a file of kept steps"},
        {"drawtender steps 1\n", "line 1: not a step"},
        {"drawtender steps 1\nstep 5\n", "line 2: "}, /* an unsound setup */
        {"drawtender steps 1\nsetup no_such 1\n", "line 2: no such member"},
        {"drawtender steps 1\nsetup tracks x\n", "line 2: no such member, no value"},
        {"drawtender steps 1\ninputs seated 1\n", "not its place"},
        {"drawtender steps 1\nwhat is 1\n", "line 2: unknown word"},
        {"drawtender steps 1\nstate\n", "line 2: incomplete step"},
        {"drawtender steps 1\nstate phase\n", "line 2: incomplete step"},
        {"drawtender steps 1\nanswer 99\n", "line 2: no such answer"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct replay_result result;
        struct error error = {.what = ""};
        assert_false(run_text(cases[i].text, &result, &error));
        if (strstr(error.what, cases[i].what) == NULL) {
            fail_msg("\"%s\" is not in \"%s\"", cases[i].what, error.what);
        }
    }
}

#define WITH_FILE(test) cmocka_unit_test_setup_teardown(test, make_file, forget_file)

int main(void) {
    const struct CMUnitTest tests[] = {
        WITH_FILE(a_whole_opening_gives_the_same_again),
        WITH_FILE(a_fault_gives_the_same_again),
        WITH_FILE(any_span_can_be_run_by_itself),
        WITH_FILE(one_run_can_be_run_by_itself),
        WITH_FILE(a_changed_output_is_shown_at_its_step),
        WITH_FILE(a_changed_input_is_shown_where_it_matters),
        WITH_FILE(a_changed_state_is_shown_where_its_piece_begins),
        WITH_FILE(a_cut_piece_is_shown_at_its_last_step),
        WITH_FILE(what_another_core_recorded_is_left_out_and_named),
        WITH_FILE(a_fault_kept_as_text_gives_the_same_again),
        cmocka_unit_test(wrong_lines_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
