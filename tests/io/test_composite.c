#include "io/composite.h"
#include "io/drivers.h"
#include "support/check.h"
#include "support/core/puppet.h"
#include "support/io/still_time.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { SEATED = 0, LOCKED = 5, LATE = 1000 };

/* A part whose readings and troubles the test sets. */
struct fake {
    struct bridge_inputs reads;
    bool is_starting;
    bool fails_to_open;
    uint64_t fresh_us;
    uint32_t wake_us;
    unsigned which;
    const struct bridge_inputs *seen;
    struct bridge_outputs acted;
    unsigned safes, closes, changes, crashes;
    bool is_unsafe;   /* says safe() */
    unsigned safe_at; /* in the order of calls */
    int confirms_at;  /* settle() says true in this call, from 1; 0: never */
    bool gives_up;    /* settle() says false without waiting */
    int settles;
};

static struct fake fakes[2];
static unsigned calls; /* of safe() */

static void *fake_open(const struct port_settings *settings, const struct port_host *host,
                       struct error *error) {
    (void)host;
    struct fake *fake = &fakes[settings->which];
    if (fake->fails_to_open) {
        error_set(error, "fake", "cannot be opened");
        return NULL;
    }
    fake->which = settings->which;
    fake->seen = settings->seen;
    return fake;
}

static void fake_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs) {
    (void)now_us;
    *inputs = ((struct fake *)port)->reads;
}

static void fake_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    (void)now_us;
    ((struct fake *)port)->acted = *outputs;
}

static uint32_t fake_wake_us(const void *port) {
    return ((const struct fake *)port)->wake_us;
}

static bool fake_safe(void *port) {
    struct fake *fake = port;
    fake->safes++;
    fake->safe_at = ++calls;
    return !fake->is_unsafe;
}

/* Waits as long as it may, as the contract says, unless it gives up or knows. */
static bool fake_settle(void *port, uint32_t within_us) {
    struct fake *fake = port;
    bool is_confirmed = ++fake->settles == fake->confirms_at;
    if (!is_confirmed && !fake->gives_up) {
        still_time_pass(within_us);
    }
    return is_confirmed;
}

static void fake_crash_safe(void *port) {
    ((struct fake *)port)->crashes++;
}

static void fake_close(void *port) {
    ((struct fake *)port)->closes++;
}

static bool fake_is_starting(const void *port) {
    return ((const struct fake *)port)->is_starting;
}

static uint64_t fake_fresh_us(const void *port) {
    return ((const struct fake *)port)->fresh_us;
}

static bool fake_simulate(void *port, const char *words, struct error *error) {
    (void)port;
    (void)error;
    return strcmp(words, "good") == 0;
}

static bool fake_would_simulate(const void *port, const char *words, struct error *error) {
    (void)port;
    (void)error;
    return strcmp(words, "might") == 0;
}

static const char *fake_news(void *port) {
    (void)port;
    return "train";
}

static const struct port_ops plain = {.name = "plain",
                                      .open = fake_open,
                                      .sense = fake_sense,
                                      .act = fake_act,
                                      .wake_us = fake_wake_us,
                                      .safe = fake_safe,
                                      .close = fake_close};
static const struct port_ops watched = {.name = "watched",
                                        .open = fake_open,
                                        .sense = fake_sense,
                                        .act = fake_act,
                                        .wake_us = fake_wake_us,
                                        .safe = fake_safe,
                                        .close = fake_close,
                                        .simulate = fake_simulate,
                                        .would_simulate = fake_would_simulate,
                                        .news = fake_news,
                                        .is_starting = fake_is_starting,
                                        .fresh_us = fake_fresh_us};

static const struct port_ops remote = {.name = "remote",
                                       .open = fake_open,
                                       .sense = fake_sense,
                                       .act = fake_act,
                                       .wake_us = fake_wake_us,
                                       .safe = fake_safe,
                                       .settle = fake_settle,
                                       .crash_safe = fake_crash_safe,
                                       .close = fake_close};

static const struct port_ops *find(const char *name) {
    static const struct port_ops *const known[] = {&plain, &watched, &remote};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (strcmp(name, known[i]->name) == 0) {
            return known[i];
        }
    }
    return drivers_find(name);
}

/* Part 0, "plain", serves all but what part 1, "watched", does: the contact "locked", the position
 * and the home signal of the first end. */
struct stage {
    struct bridge_setup bridge;
    struct composite_setup setup;
    struct port_own own[2];
    struct port_settings settings;
    void *port;
    struct bridge_inputs inputs;
};

static void prepare(struct stage *stage) {
    memset(fakes, 0, sizeof fakes);
    memset(stage, 0, sizeof *stage);
    stage->bridge = puppet_setup();
    struct line_set all = lines_there(&stage->bridge);
    struct line_set theirs = {UINT64_C(1) << LOCKED | UINT64_C(1) << LINE_POSITION,
                              UINT64_C(1) << lines_signal(0, 0)};
    stage->setup = (struct composite_setup){
        .parts = 2,
        .part = {{.driver = "plain",
                  .lines = {all.inputs & ~theirs.inputs, all.outputs & ~theirs.outputs}},
                 {.driver = "watched", .which = 1, .lines = theirs, .stale_us = LATE}}};
    stage->own[0] = (struct port_own){"composite", &stage->setup};
    stage->settings =
        (struct port_settings){.setup = &stage->bridge, .own = stage->own, .find = find};
    for (unsigned i = 0; i < 2; i++) {
        lines_forget(&fakes[i].reads);
        fakes[i].wake_us = UINT32_MAX;
        for (unsigned l = 0; l < LINES_LEVELS; l++) {
            *lines_level(&fakes[i].reads, l) = i == 0 ? LEVEL_OFF : LEVEL_ON;
        }
        fakes[i].reads.position_frac = i;
        fakes[i].reads.current_a = i;
    }
}

static void open_stage(struct stage *stage) {
    struct error error = {.what = ""};
    prepare(stage);
    stage->port = composite_ops.open(&stage->settings, NULL, &error);
    assert_string_equal(error.what, "");
    assert_non_null(stage->port);
}

static void sense(struct stage *stage, uint64_t now_us) {
    composite_ops.sense(stage->port, now_us, &stage->inputs);
}

static void each_part_is_read_for_its_own_lines(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    sense(&stage, 0);
    assert_int_equal(stage.inputs.seated, LEVEL_OFF);
    assert_int_equal(stage.inputs.locked, LEVEL_ON);
    assert_int_equal(stage.inputs.track[0].end[0].signal_at_stop, LEVEL_OFF);
    assert_true(stage.inputs.position_frac == 1 && stage.inputs.current_a == 0);
    assert_false(stage.inputs.is_device_lost);
    /* What every part may look at. */
    assert_ptr_equal(fakes[0].seen, fakes[1].seen);
    assert_int_equal(fakes[1].seen->locked, LEVEL_ON);
    composite_ops.close(stage.port);
}

static void every_part_acts_falls_safe_and_closes(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    const struct bridge_outputs outputs = {.lift_effort = 0.25, .horn = true};
    composite_ops.act(stage.port, 0, &outputs);
    composite_ops.safe(stage.port);
    composite_ops.close(stage.port);
    for (unsigned i = 0; i < 2; i++) {
        assert_true(fakes[i].acted.lift_effort == 0.25 && fakes[i].acted.horn);
        assert_int_equal(fakes[i].safes, 1);
        assert_int_equal(fakes[i].closes, 1);
    }
}

/* Part 0 lies on a server; of the two it is opened first. */
static void open_remote(struct stage *stage, const char *other) {
    struct error error = {.what = ""};
    prepare(stage);
    calls = 0;
    snprintf(stage->setup.part[0].driver, sizeof stage->setup.part[0].driver, "remote");
    snprintf(stage->setup.part[1].driver, sizeof stage->setup.part[1].driver, "%s", other);
    stage->port = composite_ops.open(&stage->settings, NULL, &error);
    assert_non_null(stage->port);
}

static void s7_local_parts_are_safe_before_remote_ones(void **state) {
    (void)state;
    struct stage stage;
    open_remote(&stage, "plain");
    fakes[0].is_unsafe = true;
    fakes[0].confirms_at = 1;
    assert_false(composite_ops.safe(stage.port));
    assert_int_equal(fakes[1].safe_at, 1);
    assert_int_equal(fakes[0].safe_at, 2);
    assert_int_equal(fakes[0].settles, 0); /* nothing waits yet */
    assert_true(composite_ops.settle(stage.port, 1000000));
    composite_ops.close(stage.port);
}

/* What a local part could not do no waiting mends, and the remote one is waited for all the same.
 */
static void s7_local_part_that_failed_is_not_safe_after_all(void **state) {
    (void)state;
    struct stage stage;
    open_remote(&stage, "plain");
    fakes[0].is_unsafe = fakes[1].is_unsafe = true;
    fakes[0].confirms_at = 2;
    assert_false(composite_ops.safe(stage.port));
    assert_false(composite_ops.settle(stage.port, 1000000));
    assert_int_equal(fakes[0].settles, 2);
    composite_ops.close(stage.port);
}

static void remote_part_that_hangs_leaves_time_to_the_others(void **state) {
    (void)state;
    struct stage stage;
    open_remote(&stage, "remote");
    fakes[0].is_unsafe = fakes[1].is_unsafe = true;
    fakes[0].confirms_at = 6;
    fakes[1].confirms_at = 3;
    composite_ops.safe(stage.port);
    assert_true(composite_ops.settle(stage.port, UINT32_MAX)); /* over an hour, one by one */
    assert_int_equal(fakes[0].settles, 6);
    assert_int_equal(fakes[1].settles, 3);
    composite_ops.close(stage.port);
}

static void remote_part_that_gave_up_is_not_asked_again(void **state) {
    (void)state;
    struct stage stage;
    open_remote(&stage, "remote");
    fakes[0].is_unsafe = fakes[1].is_unsafe = true;
    fakes[0].gives_up = true;
    fakes[1].confirms_at = 2;
    composite_ops.safe(stage.port);
    assert_false(composite_ops.settle(stage.port, UINT32_MAX));
    assert_int_equal(fakes[0].settles, 1);
    assert_int_equal(fakes[1].settles, 2);
    composite_ops.close(stage.port);
}

static void crash_reaches_every_part_that_can_do_something(void **state) {
    (void)state;
    struct stage stage;
    open_remote(&stage, "remote");
    composite_ops.crash_safe(stage.port);
    assert_true(fakes[0].crashes == 1 && fakes[1].crashes == 1);
    composite_ops.close(stage.port);
    open_remote(&stage, "plain"); /* which has no crash_safe() */
    composite_ops.crash_safe(stage.port);
    assert_int_equal(fakes[0].crashes, 1);
    composite_ops.close(stage.port);
}

static void s7_lost_part_is_a_lost_device_without_readings(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    fakes[1].reads.is_device_lost = true;
    sense(&stage, 0);
    assert_true(stage.inputs.is_device_lost);
    assert_int_equal(stage.inputs.locked, LEVEL_UNKNOWN);
    assert_true(isnan(stage.inputs.position_frac));
    assert_int_equal(stage.inputs.seated, LEVEL_OFF);
    composite_ops.close(stage.port);
}

static void s5_readings_too_old_are_none(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    fakes[1].fresh_us = 500;
    sense(&stage, 500 + LATE);
    assert_int_equal(stage.inputs.locked, LEVEL_ON);
    sense(&stage, 501 + LATE);
    assert_int_equal(stage.inputs.locked, LEVEL_UNKNOWN);
    assert_true(stage.inputs.is_device_lost);
    fakes[1].fresh_us = 501 + LATE;
    sense(&stage, 502 + LATE);
    assert_int_equal(stage.inputs.locked, LEVEL_ON);
    assert_false(stage.inputs.is_device_lost);
    composite_ops.close(stage.port);
}

/* The core would latch a lost device or a broken stop circuit; a start is neither. */
static void s6_nothing_but_the_stop_circuit_is_read_until_all_have_started(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    fakes[1].is_starting = true;
    fakes[0].reads.stop_circuit = LEVEL_ON;
    sense(&stage, 0);
    assert_false(stage.inputs.is_device_lost);
    assert_int_equal(stage.inputs.stop_circuit, LEVEL_ON);
    assert_int_equal(stage.inputs.seated, LEVEL_UNKNOWN);
    assert_int_equal(stage.inputs.locked, LEVEL_UNKNOWN);
    fakes[0].reads.is_device_lost = true;
    sense(&stage, 0);
    assert_true(stage.inputs.is_device_lost);
    fakes[1].is_starting = fakes[0].reads.is_device_lost = false;
    sense(&stage, 0);
    assert_int_equal(stage.inputs.locked, LEVEL_ON);
    composite_ops.close(stage.port);
}

static void earliest_part_wakes(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    assert_int_equal(composite_ops.wake_us(stage.port), LATE); /* to see that it is too old */
    fakes[0].wake_us = 7;
    assert_int_equal(composite_ops.wake_us(stage.port), 7);
    fakes[1].wake_us = 3;
    assert_int_equal(composite_ops.wake_us(stage.port), 3);
    composite_ops.close(stage.port);
}

static void simulated_part_is_told_and_tells(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    assert_true(composite_ops.simulate(stage.port, "good", NULL));
    assert_false(composite_ops.simulate(stage.port, "bad", NULL));
    assert_true(composite_ops.would_simulate(stage.port, "might", NULL));
    assert_false(composite_ops.would_simulate(stage.port, "good", NULL));
    assert_string_equal(composite_ops.news(stage.port), "train");
    composite_ops.close(stage.port);

    prepare(&stage);
    snprintf(stage.setup.part[1].driver, sizeof stage.setup.part[1].driver, "plain");
    stage.port = composite_ops.open(&stage.settings, NULL, NULL);
    struct error error;
    assert_false(composite_ops.simulate(stage.port, "good", &error));
    assert_non_null(strstr(error.what, "simulated part"));
    assert_false(composite_ops.would_simulate(stage.port, "might", NULL));
    assert_null(composite_ops.news(stage.port));
    composite_ops.close(stage.port);
}

static void lines_must_be_served_once(void **state) {
    (void)state;
    struct stage stage;
    struct error error;
    prepare(&stage);
    assert_true(composite_is_whole(&stage.setup, &stage.bridge, &error));

    stage.setup.part[1].lines.inputs |= UINT64_C(1) << SEATED;
    assert_false(composite_is_whole(&stage.setup, &stage.bridge, &error));
    assert_non_null(strstr(error.what, "input \"seated\" is assigned twice"));

    prepare(&stage);
    stage.setup.part[1].lines.outputs = 0;
    assert_false(composite_is_whole(&stage.setup, &stage.bridge, &error));
    assert_non_null(strstr(error.what, "output \"track 1.end 1.signal\" is not assigned"));

    prepare(&stage);
    stage.bridge.has_stop_circuit = false;
    assert_false(composite_is_whole(&stage.setup, &stage.bridge, &error));
    assert_non_null(strstr(error.what, "input \"stop-circuit\" is not a line"));
    assert_null(composite_ops.open(&stage.settings, NULL, &error));
}

static void parts_that_cannot_be_opened_are_told(void **state) {
    (void)state;
    struct stage stage;
    struct error error;
    prepare(&stage);
    fakes[1].fails_to_open = true;
    assert_null(composite_ops.open(&stage.settings, NULL, &error));
    assert_string_equal(error.what, "cannot be opened");
    assert_int_equal(fakes[0].closes, 1);

    static const char *const wrong[] = {"no such", "composite"};
    for (unsigned i = 0; i < 2; i++) {
        prepare(&stage);
        snprintf(stage.setup.part[1].driver, sizeof stage.setup.part[1].driver, "%s", wrong[i]);
        assert_null(composite_ops.open(&stage.settings, NULL, &error));
        assert_non_null(strstr(error.what, wrong[i]));
    }
    stage.settings.own = NULL;
    assert_null(composite_ops.open(&stage.settings, NULL, &error));
    assert_string_equal(error.where, "lines");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_part_is_read_for_its_own_lines),
        cmocka_unit_test(every_part_acts_falls_safe_and_closes),
        cmocka_unit_test(s7_local_parts_are_safe_before_remote_ones),
        cmocka_unit_test(s7_local_part_that_failed_is_not_safe_after_all),
        cmocka_unit_test(remote_part_that_hangs_leaves_time_to_the_others),
        cmocka_unit_test(remote_part_that_gave_up_is_not_asked_again),
        cmocka_unit_test(crash_reaches_every_part_that_can_do_something),
        cmocka_unit_test(s7_lost_part_is_a_lost_device_without_readings),
        cmocka_unit_test(s5_readings_too_old_are_none),
        cmocka_unit_test(s6_nothing_but_the_stop_circuit_is_read_until_all_have_started),
        cmocka_unit_test(earliest_part_wakes),
        cmocka_unit_test(simulated_part_is_told_and_tells),
        cmocka_unit_test(lines_must_be_served_once),
        cmocka_unit_test(parts_that_cannot_be_opened_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
