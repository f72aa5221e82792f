/* A motor controller at a pseudo-terminal, played by the test. */
#include "io/wired/serial_motor.h"
#include "support/check.h"
#include "support/io/controller.h"

#include <event2/event.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { REPLY_US = 50000, REPEAT_US = 200000 };

struct stage {
    struct wired_serial setup;
    struct port_host host;
    struct serial_motor motor;
    struct error error;
    unsigned changes;
    struct controller controller;
};

/* Stands in for libevent's (the linker's --wrap): an epoll of the kernel may be full. */
static bool cannot_watch;
int __real_event_add(struct event *event, const struct timeval *timeout);
int __wrap_event_add(struct event *event, const struct timeval *timeout);

int __wrap_event_add(struct event *event, const struct timeval *timeout) {
    return cannot_watch ? -1 : __real_event_add(event, timeout);
}

/* The next write, if it is longer, is cut after this many bytes. */
static size_t takes_only = SIZE_MAX;
ssize_t __real_write(int fd, const void *bytes, size_t count);
ssize_t __wrap_write(int fd, const void *bytes, size_t count);

ssize_t __wrap_write(int fd, const void *bytes, size_t count) {
    size_t most = takes_only < count ? takes_only : count;
    takes_only = SIZE_MAX;
    return __real_write(fd, bytes, most);
}

static void count_change(void *context) {
    ((struct stage *)context)->changes++;
}

/* Until the loop has told of it. */
static void wait_for_change(struct stage *stage, unsigned before) {
    while (stage->changes == before) {
        event_base_loop(stage->host.base, EVLOOP_ONCE);
    }
}

static void plug_in(struct stage *stage) {
    controller_plug_in(&stage->controller);
}

static void unplug(struct stage *stage) {
    unsigned before = stage->changes;
    controller_unplug(&stage->controller);
    wait_for_change(stage, before);
}

static void say(struct stage *stage, const char *text) {
    unsigned before = stage->changes;
    controller_say(&stage->controller, text);
    wait_for_change(stage, before);
}

static const char *hear(struct stage *stage, const char *last) {
    return controller_hear(&stage->controller, last);
}

static bool is_silent(const struct stage *stage) {
    return controller_is_silent(&stage->controller);
}

static void prepare(struct stage *stage) {
    *stage = (struct stage){.setup = {.baud = 9600,
                                      .full = 1000,
                                      .greetings = 1,
                                      .greeting = {"hello\r"},
                                      .drive = "go {effort}\r",
                                      .stop = "stop\r",
                                      .reply = "ok",
                                      .reply_us = REPLY_US,
                                      .repeat_us = REPEAT_US}};
    controller_start(&stage->controller);
    snprintf(stage->setup.device, sizeof stage->setup.device, "%s", stage->controller.device);
    stage->host =
        (struct port_host){.base = event_base_new(), .changed = count_change, .context = stage};
    assert_int_equal(event_base_priority_init(stage->host.base, 2), 0);
}

static bool drive(struct stage *stage, double effort, uint64_t now_us) {
    return serial_motor_drive(&stage->motor, effort, now_us, &stage->error);
}

/* Stopped, greeted, and nothing outstanding. */
static void open_stage(struct stage *stage) {
    prepare(stage);
    assert_true(serial_motor_open(&stage->motor, &stage->setup, &stage->host, &stage->error));
    assert_string_equal(hear(stage, "\r"), "stop\r");
    assert_true(drive(stage, 0, 0));
    assert_string_equal(hear(stage, "\r"), "stop\r");
    say(stage, "ok\r\n");
    assert_true(drive(stage, 0, 0));
    assert_string_equal(hear(stage, "\r"), "hello\r");
    say(stage, "ok\r\n");
}

static void end_stage(struct stage *stage) {
    serial_motor_close(&stage->motor);
    event_base_free(stage->host.base);
    controller_stop(&stage->controller);
}

static void line_whose_replies_cannot_be_waited_for_is_refused(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage);
    cannot_watch = true;
    bool is_open = serial_motor_open(&stage.motor, &stage.setup, &stage.host, &stage.error);
    cannot_watch = false;
    assert_false(is_open);
    assert_string_equal(stage.error.where, stage.setup.device);
    assert_non_null(strstr(stage.error.what, "cannot be waited for"));
    assert_int_equal(stage.motor.fd, -1);
    end_stage(&stage);
}

static void effort_goes_out_as_a_line(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    assert_true(drive(&stage, -0.25, 1));
    assert_string_equal(hear(&stage, "\r"), "go -250\r");
    end_stage(&stage);
}

static void next_line_waits_for_the_reply_but_stop_does_not(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    hear(&stage, "\r");
    assert_true(drive(&stage, 0.6, 2));
    assert_true(is_silent(&stage));
    assert_true(drive(&stage, 0, 3));
    assert_string_equal(hear(&stage, "\r"), "stop\r");
    end_stage(&stage);
}

static void line_is_repeated(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    hear(&stage, "\r");
    say(&stage, "ok\r");
    assert_int_equal(serial_motor_wake_us(&stage.motor, 1), REPEAT_US);
    assert_true(drive(&stage, 0.5, REPEAT_US));
    assert_true(is_silent(&stage));
    assert_true(drive(&stage, 0.5, REPEAT_US + 1));
    assert_string_equal(hear(&stage, "\r"), "go 500\r");
    end_stage(&stage);
}

static void late_reply_loses_the_controller(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    assert_int_equal(serial_motor_wake_us(&stage.motor, 1), REPLY_US);
    assert_true(drive(&stage, 0.5, REPLY_US));
    assert_false(drive(&stage, 0.5, REPLY_US + 1));
    assert_non_null(strstr(stage.error.what, "no reply"));
    hear(&stage, "\r");
    assert_false(drive(&stage, 0.5, REPLY_US + 2));
    assert_true(is_silent(&stage)); /* only stop lines from now on */
    assert_false(serial_motor_safe(&stage.motor, &stage.error));
    assert_non_null(strstr(stage.error.what, "no reply"));
    assert_string_equal(hear(&stage, "\rstop\r"), "stop\rstop\r");
    end_stage(&stage);
}

static void wrong_reply_loses_the_controller(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    say(&stage, "overheated\r");
    assert_false(drive(&stage, 0.5, 2));
    assert_non_null(strstr(stage.error.what, "overheated"));
    end_stage(&stage);
}

static void reply_may_come_in_pieces(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    say(&stage, "o");
    say(&stage, "k 5\r");
    assert_true(drive(&stage, 0.5, REPLY_US + 1)); /* nothing is outstanding any more */
    end_stage(&stage);
}

static void controller_that_goes_away_is_lost(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    unplug(&stage);
    unsigned changes = stage.changes;
    for (int turn = 0; turn < 3; turn++) {
        event_base_loop(stage.host.base, EVLOOP_NONBLOCK);
    }
    assert_int_equal(stage.changes, changes); /* told once, and no loop goes round for it */
    assert_false(drive(&stage, 0, 1));
    assert_false(serial_motor_safe(&stage.motor, &stage.error));
    assert_false(serial_motor_is_ready(&stage.motor, 1));
    end_stage(&stage);
}

/* ---- after a loss */

static bool reopen(struct stage *stage, uint64_t now_us) {
    return serial_motor_reopen(&stage->motor, now_us, &stage->error);
}

/* It may have been without power, and have forgotten what the greeting set. */
static void lost_line_is_opened_anew_and_greeted_before_it_is_believed(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    assert_true(reopen(&stage, 1)); /* nothing is lost */
    assert_true(is_silent(&stage));
    unplug(&stage);
    assert_false(reopen(&stage, 2));
    assert_string_equal(stage.error.where, stage.setup.device);
    plug_in(&stage);
    assert_false(drive(&stage, 0, 3)); /* not by itself */
    assert_true(reopen(&stage, 4));
    assert_true(serial_motor_safe(&stage.motor, &stage.error));
    assert_string_equal(hear(&stage, "\r"), "stop\r");
    assert_false(serial_motor_is_ready(&stage.motor, 4));
    assert_true(drive(&stage, 0, 4));
    assert_string_equal(hear(&stage, "\r"), "stop\r");
    assert_false(serial_motor_is_ready(&stage.motor, 4));
    say(&stage, "ok\r");
    assert_false(serial_motor_is_ready(&stage.motor, 4)); /* not greeted */
    assert_true(drive(&stage, 0, 5));
    assert_string_equal(hear(&stage, "\r"), "hello\r");
    assert_false(serial_motor_is_ready(&stage.motor, 5)); /* nor has it answered that */
    say(&stage, "ok\r");
    assert_true(serial_motor_is_ready(&stage.motor, 6));
    assert_true(drive(&stage, 0.5, 7));
    assert_string_equal(hear(&stage, "\r"), "go 500\r");
    end_stage(&stage);
}

static void controller_that_stays_mute_after_a_loss_is_lost_again(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    unplug(&stage);
    plug_in(&stage);
    assert_true(reopen(&stage, 1));
    assert_true(serial_motor_safe(&stage.motor, &stage.error));
    assert_true(drive(&stage, 0, 1));
    assert_false(serial_motor_is_ready(&stage.motor, 1));
    assert_int_equal(serial_motor_wake_us(&stage.motor, 1), REPLY_US);
    assert_false(drive(&stage, 0, 1 + REPLY_US));
    end_stage(&stage);
}

/* All that can be known of it is that the line goes on taking what it is sent. */
static void controller_without_replies_is_believed_a_second_after_a_loss(void **state) {
    (void)state;
    enum { TRUST_US = 1000000 };
    struct stage stage;
    prepare(&stage);
    stage.setup.reply[0] = '\0';
    stage.setup.repeat_us = 0;
    assert_true(serial_motor_open(&stage.motor, &stage.setup, &stage.host, &stage.error));
    assert_true(drive(&stage, 0, 0) && drive(&stage, 0, 0));
    assert_true(serial_motor_is_ready(&stage.motor, 0)); /* at the start it is */
    unplug(&stage);
    plug_in(&stage);
    assert_true(reopen(&stage, 10));
    assert_true(serial_motor_safe(&stage.motor, &stage.error));
    assert_true(drive(&stage, 0, 10) && drive(&stage, 0, 10));
    assert_string_equal(hear(&stage, "hello\r"), "stop\rstop\rhello\r");
    assert_false(serial_motor_is_ready(&stage.motor, 9 + TRUST_US));
    assert_int_equal(serial_motor_wake_us(&stage.motor, 9 + TRUST_US), 1);
    assert_true(serial_motor_is_ready(&stage.motor, 10 + TRUST_US));
    assert_int_equal(serial_motor_wake_us(&stage.motor, 10 + TRUST_US), UINT32_MAX);
    end_stage(&stage);
}

static void line_that_is_cut_is_not_sent(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    takes_only = 4;
    assert_false(drive(&stage, 0.5, 1));
    assert_non_null(strstr(stage.error.what, "only part of a line"));
    assert_false(serial_motor_safe(&stage.motor, &stage.error));
    /* The first stop may be glued to it, or what was cut has not gone out; the second is whole. */
    const char *heard = hear(&stage, "\rstop\r");
    assert_true(strcmp(heard, "go 5stop\rstop\r") == 0 || strcmp(heard, "stop\rstop\r") == 0);
    end_stage(&stage);
}

static void stop_line_that_is_cut_is_sent_again(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    hear(&stage, "\r");
    takes_only = 2;
    assert_false(serial_motor_safe(&stage.motor, &stage.error));
    assert_non_null(strstr(hear(&stage, "\rstop\r"), "stop\rstop\r"));
    end_stage(&stage);
}

static void crash_sends_the_stop_line(void **state) {
    (void)state;
    struct stage stage;
    open_stage(&stage);
    drive(&stage, 0.5, 1);
    hear(&stage, "\r");
    serial_motor_crash_stop(&stage.motor);
    assert_string_equal(hear(&stage, "\rstop\r"), "stop\rstop\r");
    end_stage(&stage);
}

static void line_that_cannot_be_filled_is_refused_at_once(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage);
    snprintf(stage.setup.drive, sizeof stage.setup.drive, "go {speed}");
    assert_false(serial_motor_open(&stage.motor, &stage.setup, &stage.host, &stage.error));
    assert_string_equal(stage.error.where, "go {speed}");
    assert_true(is_silent(&stage));
    end_stage(&stage);
}

static void missing_device_is_refused(void **state) {
    (void)state;
    struct stage stage;
    prepare(&stage);
    snprintf(stage.setup.device, sizeof stage.setup.device, "/nowhere");
    assert_false(serial_motor_open(&stage.motor, &stage.setup, &stage.host, &stage.error));
    assert_string_equal(stage.error.where, "/nowhere");
    end_stage(&stage);
}

/* A second daemon, started by mistake, must not stop the first one's motor behind its back. */
static void line_that_is_in_use_hears_nothing_of_another(void **state) {
    (void)state;
    struct stage stage;
    struct serial_motor second;
    open_stage(&stage);
    assert_false(serial_motor_open(&second, &stage.setup, &stage.host, &stage.error));
    assert_string_equal(stage.error.where, stage.setup.device);
    assert_true(is_silent(&stage));
    assert_true(drive(&stage, 0.5, 1));
    assert_string_equal(hear(&stage, "\r"), "go 500\r");
    serial_motor_close(&stage.motor);
    assert_true(serial_motor_open(&second, &stage.setup, &stage.host, &stage.error));
    assert_string_equal(hear(&stage, "\r"), "stop\r");
    serial_motor_close(&second);
    end_stage(&stage);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(line_whose_replies_cannot_be_waited_for_is_refused),
        cmocka_unit_test(effort_goes_out_as_a_line),
        cmocka_unit_test(next_line_waits_for_the_reply_but_stop_does_not),
        cmocka_unit_test(line_is_repeated),
        cmocka_unit_test(late_reply_loses_the_controller),
        cmocka_unit_test(wrong_reply_loses_the_controller),
        cmocka_unit_test(reply_may_come_in_pieces),
        cmocka_unit_test(controller_that_goes_away_is_lost),
        cmocka_unit_test(lost_line_is_opened_anew_and_greeted_before_it_is_believed),
        cmocka_unit_test(controller_that_stays_mute_after_a_loss_is_lost_again),
        cmocka_unit_test(controller_without_replies_is_believed_a_second_after_a_loss),
        cmocka_unit_test(line_that_is_cut_is_not_sent),
        cmocka_unit_test(stop_line_that_is_cut_is_sent_again),
        cmocka_unit_test(crash_sends_the_stop_line),
        cmocka_unit_test(missing_device_is_refused),
        cmocka_unit_test(line_that_is_in_use_hears_nothing_of_another),
        cmocka_unit_test(line_that_cannot_be_filled_is_refused_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
