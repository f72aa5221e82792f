/* The orderly end: nothing is waited for before all outputs of all bridges are safe or on their
 * way, and one that hangs leaves time to the others. */
#include "process/ending.h"
#include "process/loop.h"
#include "support/check.h"
#include "support/io/idle_port.h"
#include "support/io/still_time.h"

#include <string.h>

enum { BRIDGES = 3, TURNS_MAX = 256 };

enum answer {
    LOCAL,    /* safe at once */
    CONFIRMS, /* at the second moment it gets */
    HANGS,    /* waits as long as it may */
    NEVER,    /* says at once that it never will be */
};

struct bridge {
    struct bridge_setup setup;
    struct cycle *cycle;
    enum answer answer;
    unsigned settles;
};

static struct bridge bridge[BRIDGES];
static unsigned opened;
static char order[TURNS_MAX]; /* safe: a, b, c; settle: A, B, C; meanwhile: + */

static void note(char what) {
    size_t length = strlen(order);
    assert_true(length + 1 < sizeof order);
    order[length] = what;
    order[length + 1] = '\0';
}

static char letter(const struct bridge *of, char first) {
    return (char)(first + (of - bridge));
}

static void *port_open(const struct port_settings *settings, const struct port_host *host,
                       struct error *error) {
    (void)settings;
    (void)host;
    (void)error;
    return &bridge[opened++];
}

static bool port_safe(void *port) {
    const struct bridge *self = port;
    note(letter(self, 'a'));
    return self->answer == LOCAL;
}

static bool port_settle(void *port, uint32_t within_us) {
    struct bridge *self = port;
    note(letter(self, 'A'));
    self->settles++;
    if (self->answer == NEVER) {
        return false;
    }
    if (self->answer == CONFIRMS && self->settles == 2) {
        return true;
    }
    still_time_pass(within_us); /* waits for its server */
    return false;
}

static const struct port_ops ops = {.name = "script",
                                    .open = port_open,
                                    .sense = idle_sense,
                                    .act = idle_act,
                                    .wake_us = idle_wake_us,
                                    .safe = port_safe,
                                    .settle = port_settle,
                                    .close = idle_close};

static void meanwhile(void *context) {
    (void)context;
    note('+');
}

/* Ends three bridges; `is_opened` false: the last of them could not be opened. */
static struct ending end_all(const enum answer answers[BRIDGES], bool is_opened) {
    struct loop *loop = loop_new();
    struct layout_clock clock;
    struct cycle *cycle[BRIDGES] = {NULL};
    struct ending ending;
    struct error error;
    const struct cycle_listener listener = {.stepped = idle_stepped};
    clock_start(&clock, 1);
    memset(bridge, 0, sizeof bridge);
    opened = 0;
    order[0] = '\0';
    for (unsigned i = 0; i < (is_opened ? BRIDGES : BRIDGES - 1); i++) {
        const struct cycle_setup setup = {
            .bridge = i, .port = &ops, .settings = {.setup = &bridge[i].setup}};
        bridge[i].answer = answers[i];
        cycle[i] = cycle_new(loop, &clock, &setup, &listener, &error);
        assert_non_null(cycle[i]);
    }
    ending_begin(&ending, cycle, BRIDGES);
    ending_settle(&ending, meanwhile, NULL);
    for (unsigned i = 0; i < BRIDGES; i++) {
        cycle_free(cycle[i]);
    }
    loop_free(loop);
    return ending;
}

static void all_are_made_safe_before_any_is_waited_for(void **state) {
    (void)state;
    static const enum answer answers[BRIDGES] = {CONFIRMS, LOCAL, CONFIRMS};
    struct ending ending = end_all(answers, true);
    assert_string_equal(order, "abcA+C+A+C+");
    assert_true(ending.is_safe[0] && ending.is_safe[1] && ending.is_safe[2]);
}

static void one_that_hangs_leaves_time_to_the_others_and_is_not_called_safe(void **state) {
    (void)state;
    static const enum answer answers[BRIDGES] = {HANGS, CONFIRMS, LOCAL};
    uint64_t begun_us = still_time_us();
    struct ending ending = end_all(answers, true);
    assert_memory_equal(order, "abcA+B+A+B+A+", 13);
    assert_false(ending.is_safe[0]);
    assert_true(ending.is_safe[1] && ending.is_safe[2]);
    /* It was waited for in moments, until the time of all was up, and not a moment longer. */
    assert_int_equal(still_time_us() - begun_us, ENDING_WITHIN_US);
    assert_int_equal(bridge[0].settles * 2 + bridge[1].settles * 2 + 3, strlen(order));
    assert_true(bridge[0].settles > 2);
}

static void one_that_never_will_be_is_asked_once(void **state) {
    (void)state;
    static const enum answer answers[BRIDGES] = {NEVER, CONFIRMS, NEVER};
    struct ending ending = end_all(answers, true);
    assert_string_equal(order, "abcA+B+C+B+");
    assert_false(ending.is_safe[0] || ending.is_safe[2]);
    assert_true(ending.is_safe[1]);
}

static void bridge_that_could_not_be_opened_is_not_called_safe(void **state) {
    (void)state;
    static const enum answer answers[BRIDGES] = {LOCAL, LOCAL, LOCAL};
    struct ending ending = end_all(answers, false);
    assert_string_equal(order, "ab");
    assert_true(ending.is_safe[0] && ending.is_safe[1]);
    assert_false(ending.is_safe[2]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_are_made_safe_before_any_is_waited_for),
        cmocka_unit_test(one_that_hangs_leaves_time_to_the_others_and_is_not_called_safe),
        cmocka_unit_test(one_that_never_will_be_is_asked_once),
        cmocka_unit_test(bridge_that_could_not_be_opened_is_not_called_safe),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
